import type { AnalogSection } from '../../src/dsp/analog-section.ts';
import { clippedSineHarmonic } from '../../src/dsp/clip-distortion.ts';
import {
  evaluateOnGrid,
  evaluateSections,
  lowShelfSections,
  prototypeSections,
} from '../../src/dsp/filter-prototype.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { LadderMeasurement, LadderStep, TapMeasurement } from '../../src/model/measurement.ts';
import type { FrequencyResponse } from '../../src/model/response.ts';
import type { Session, Tap } from '../../src/model/session.ts';
import { fullTrack, sectionOf } from '../../src/tones/track.ts';
import { correlatedNoise, gaussian, seededRandom, UNIT_SWEEP_SIGMA } from './synthetic-noise.ts';

/**
 * Measurements of a radio that is written down as functions: exact responses on the grid and ladders in closed form, with
 * noise as the measuring part would leave it. No recording is made, so a case takes a millisecond.
 */
export interface Radio {
  /** Decibels of the whole at 1 kHz for a 0 dBFS drive: the level in the recording. */
  gainDb(setting: number): number;
  /** Filters behind everything but the clip stages below, by setting. */
  filters?(setting: number): readonly Filter[];
  /** Weights of the left and right programme. */
  weights?: readonly [number, number];
  /** Drive at which a bass limiter (below 120 Hz) begins to hold the level, by setting; infinite ratio. */
  limiterDriveDbFs?(setting: number): number;
  /** Drive at which a tone's peak meets a hard clip, and whether the filters come behind that stage. */
  clip?: { driveDbFs(setting: number, toneHz: number): number; beforeFilters: boolean } | undefined;
  /** Full-scale sine at 1 kHz against white noise to 24 kHz; infinite for none. */
  snrDb?: number;
  voltsPerFullScale?: number | undefined;
  relativeUncertainty?: number;
  supplyVolts?: number;
  responseTrackOnly?: boolean | undefined;
  recorderClipsAbove?: number;
}

export interface Filter {
  readonly sections: readonly AnalogSection[];
  readonly cornerHz: number;
}

export const shelf = (frequencyHz: number, gainDb: number): Filter => ({
  sections: lowShelfSections({ gainDb }),
  cornerHz: frequencyHz,
});
export const pass = (
  side: 'low-pass' | 'high-pass',
  cornerHz: number,
  { order = 4, family = 'linkwitz-riley' as 'butterworth' | 'linkwitz-riley' } = {},
): Filter => ({ sections: prototypeSections({ family, order, side }), cornerHz });

export function tapOf(part: Partial<Tap> = {}): Tap {
  return {
    id: 'front-left',
    label: 'Front left',
    side: 'left',
    position: 'front',
    load: 'speaker',
    connection: 'pair',
    ...part,
  };
}

export function sessionOf(taps: readonly Tap[], supplyVolts: number | null = null): Session {
  return {
    name: 'synthetic',
    taps,
    settings: [],
    recordings: [],
    calibration: { kind: 'none' },
    referenceTapId: null,
    source: 'stick',
    supply: { volts: supplyVolts, engineRunning: null },
    equipment: null,
    notes: [],
  };
}

/** The same measurements with every step of every ladder changed. */
export function withSteps(
  measurements: readonly TapMeasurement[],
  changed: (step: LadderStep, ladder: LadderMeasurement) => LadderStep,
): TapMeasurement[] {
  return measurements.map((measurement) => ({
    ...measurement,
    ladders: measurement.ladders.map((ladder) => ({
      ...ladder,
      steps: ladder.steps.map((step) => changed(step, ladder)),
    })),
  }));
}

export function measurementsOf(of: {
  radio: Radio;
  settings: readonly number[];
  random?: () => number;
  tapId?: string;
  file?: string;
}): TapMeasurement[] {
  const {
    radio,
    settings,
    random = seededRandom(1),
    tapId = 'front-left',
    file = `${of.tapId ?? 'front-left'}.wav`,
  } = of;
  return settings.map((setting) => measurementOf({ radio, setting, random, tapId, file }));
}

function measurementOf(of: {
  radio: Radio;
  setting: number;
  random: () => number;
  tapId: string;
  file: string;
}): TapMeasurement {
  const { radio, setting, random, tapId, file } = of;
  const [left, right] = radio.weights ?? [1, 0];
  const noiseDbFs = radio.gainDb(setting) - (radio.snrDb ?? 300);
  const filters = filtersOf(radio, setting);
  const sweep = (weight: number, driveDb: number) =>
    sweptResponse({ radio, setting, filters, weight, driveDb, noiseDbFs, random });
  const ladders = radio.responseTrackOnly
    ? []
    : laddersOf({ radio, setting, weight: left + right, noiseDbFs, random });
  const peakDbFs = Math.max(-200, ...ladders.flatMap(({ steps }) => steps.map((step) => step.peakDbFs)));
  return {
    tapId,
    setting,
    evidence: [{ file, channel: 1, setting, takeStartSeconds: 1 }],
    timeOrigin: `${file} ${setting}`,
    left: sweep(left, -18),
    right: sweep(right, -18),
    bothLowDrive: radio.responseTrackOnly ? null : sweep(left + right, -36),
    ladders,
    noise: null,
    recorder: {
      peakDbFs,
      clippedRuns: peakDbFs >= (radio.recorderClipsAbove ?? Number.POSITIVE_INFINITY) ? 40 : 0,
      dcOffset: 0,
      clockPpm: 0,
    },
    voltsPerFullScale:
      radio.voltsPerFullScale === undefined
        ? null
        : { volts: radio.voltsPerFullScale, relativeUncertainty: radio.relativeUncertainty ?? 0.01 },
    supplyVolts: radio.supplyVolts ?? null,
    repeats: { count: 1, spreadDb: 0 },
  };
}

function sweptResponse(of: {
  radio: Radio;
  setting: number;
  filters: { readonly real: Float64Array; readonly imag: Float64Array };
  weight: number;
  driveDb: number;
  noiseDbFs: number;
  random: () => number;
}): FrequencyResponse {
  const { radio, setting, filters, weight, driveDb, noiseDbFs, random } = of;
  const excessDb = driveDb - (radio.limiterDriveDbFs?.(setting) ?? Number.POSITIVE_INFINITY);
  const gain = weight * 10 ** (radio.gainDb(setting) / 20);
  const held = excessDb > 0 ? 10 ** (-excessDb / 20) : 1;
  const [noiseReal, noiseImag] = [correlatedNoise(random), correlatedNoise(random)];
  const perUnit = 10 ** ((noiseDbFs - driveDb) / 20);
  const [real, imag, sigma] = [0, 1, 2].map(() => new Float64Array(gridFrequencyHz.length));
  for (let i = 0; i < real.length; i++) {
    const here = gridFrequencyHz[i] < 120 ? gain * held : gain;
    sigma[i] = perUnit * UNIT_SWEEP_SIGMA[i];
    real[i] = here * filters.real[i] + sigma[i] * noiseReal[i];
    imag[i] = here * filters.imag[i] + sigma[i] * noiseImag[i];
  }
  return { real, imag, sigma, trustedHz: trustedBand({ real, imag, sigma }) };
}

function filtersOf(radio: Radio, setting: number): { real: Float64Array; imag: Float64Array } {
  const real = new Float64Array(gridFrequencyHz.length).fill(1);
  const imag = new Float64Array(gridFrequencyHz.length);
  for (const { sections, cornerHz } of radio.filters?.(setting) ?? []) {
    const factor = evaluateOnGrid(sections, { frequencyHz: gridFrequencyHz, cornerHz, sampleRateHz: null });
    for (let i = 0; i < real.length; i++) {
      const before = real[i];
      real[i] = before * factor.real[i] - imag[i] * factor.imag[i];
      imag[i] = before * factor.imag[i] + imag[i] * factor.real[i];
    }
  }
  return { real, imag };
}

function trustedBand(of: Omit<FrequencyResponse, 'trustedHz'>): [number, number] | null {
  let [first, last] = [-1, -1];
  for (let i = 0; i < gridFrequencyHz.length; i++) {
    if (gridFrequencyHz[i] < 12 || gridFrequencyHz[i] > 19_500) continue;
    const size = Math.sqrt(of.real[i] ** 2 + of.imag[i] ** 2);
    if (!(size > 10 * Math.SQRT2 * of.sigma[i] + 1e-9)) continue;
    if (first < 0) first = i;
    last = i;
  }
  return first === last ? null : [gridFrequencyHz[first], gridFrequencyHz[last]];
}

function laddersOf(of: {
  radio: Radio;
  setting: number;
  weight: number;
  noiseDbFs: number;
  random: () => number;
}): LadderMeasurement[] {
  const filterGain = filterGains(of.radio, of.setting);
  return (['ladder bass', 'ladder middle', 'ladder treble'] as const).map((id) => {
    const ladder = sectionOf(fullTrack, 'ladder', id)!;
    const { toneHz } = ladder;
    const highestHarmonic = Math.min(10, Math.floor(21_600 / toneHz));
    const seconds = ladder.cyclesUsed / toneHz;
    const steps = ladder.driveDbFs.map((driveDbFs) =>
      ladderStep({ ...of, filterGain, toneHz, driveDbFs, highestHarmonic, seconds }),
    );
    return { toneHz, highestHarmonic, steps };
  });
}

/** What the filters leave of a tone and its harmonics: asked for at every step, worked out once. */
function filterGains(radio: Radio, setting: number): (hz: number) => number {
  const filters = radio.filters?.(setting) ?? [];
  const known = new Map<number, number>();
  return (hz) => {
    const gain =
      known.get(hz) ??
      filters.reduce((product, { sections, cornerHz }) => {
        const { real, imag } = evaluateSections(sections, { frequencyHz: hz, cornerHz, sampleRateHz: null });
        return product * Math.hypot(real, imag);
      }, 1);
    known.set(hz, gain);
    return gain;
  };
}

function ladderStep(of: {
  radio: Radio;
  setting: number;
  weight: number;
  noiseDbFs: number;
  random: () => number;
  filterGain: (hz: number) => number;
  toneHz: number;
  driveDbFs: number;
  highestHarmonic: number;
  seconds: number;
}): LadderMeasurement['steps'][number] {
  const { radio, setting, filterGain, toneHz, driveDbFs, highestHarmonic, random } = of;
  const limiter =
    toneHz < 120 ? (radio.limiterDriveDbFs?.(setting) ?? Number.POSITIVE_INFINITY) : Number.POSITIVE_INFINITY;
  const held = Math.min(driveDbFs, limiter);
  const clipAt = radio.clip?.driveDbFs(setting, toneHz) ?? Number.POSITIVE_INFINITY;
  const ratio = Math.min(1, 10 ** ((clipAt - held) / 20));
  const fundamentalClip = clippedSineHarmonic({ ratio, harmonic: 1 });
  const gain = 10 ** (radio.gainDb(setting) / 20) * Math.abs(of.weight);
  const fundamental = 10 ** (held / 20) * gain * filterGain(toneHz) * fundamentalClip;
  // Mean square of one harmonic's noise amplitude: density times the window's width, twice (two quadratures of RMS to peak).
  const noisePower = ((10 ** (of.noiseDbFs / 10) * 0.5) / 24_000 / of.seconds) * 2;
  const noise = () => Math.sqrt(noisePower / 2) * gaussian(random);
  const level = Math.hypot(fundamental + noise(), noise());
  const behind = radio.clip?.beforeFilters ? (hz: number) => filterGain(hz) / filterGain(toneHz) : () => 1;
  const harmonics = Array.from({ length: highestHarmonic - 1 }, (_, j) => {
    const own = clippedSineHarmonic({ ratio, harmonic: j + 2 }) / fundamentalClip;
    // A limiter that is fast makes half a percent of third harmonic by itself.
    const ofLimiter = j === 1 && held < driveDbFs ? 0.005 : 0;
    const amplitude = fundamental * behind((j + 2) * toneHz) * (Math.abs(own) + ofLimiter);
    const read = Math.hypot(amplitude + noise(), noise());
    return Math.sqrt(Math.max(0, read * read - noisePower)) / level;
  });
  const corrected = harmonics.map((value, j) => (value * filterGain(toneHz)) / filterGain((j + 2) * toneHz));
  const peak = 20 * Math.log10(Math.max(1e-12, fundamental));
  return {
    driveDbFs,
    levelDbFs: 20 * Math.log10(level + 1e-15),
    levelSigmaDb: (8.686 * Math.sqrt(noisePower / 2)) / (level + 1e-15),
    harmonics,
    thd: Math.hypot(...harmonics),
    thdBeforeFilters: Math.hypot(...corrected),
    thdNoise: Math.sqrt(noisePower * harmonics.length) / (level + 1e-15),
    peakDbFs: Math.min(radio.recorderClipsAbove ?? Number.POSITIVE_INFINITY, peak),
  };
}
