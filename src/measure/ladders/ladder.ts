import { DB_PER_NEPER, decibels } from '../../dsp/decibels.ts';
import { type HarmonicFitter, harmonicFitter } from '../../dsp/harmonic-fit.ts';
import { doubles, kept, reused } from '../../dsp/kernels/kernel-arrays.ts';
import { kernels } from '../../dsp/kernels/kernels.ts';
import type { LadderMeasurement, LadderStep } from '../../model/measurement.ts';
import { type MagnitudeCurve, magnitudeAt } from '../../model/response.ts';
import { type LadderSection, ladderStepStartSeconds } from '../../tones/track.ts';

/** Harmonics beyond the tenth add less than 0.03 points to a hard clip's 4 % (closed form of the clipped sine). */
const HIGHEST_HARMONIC = 10;
/** Harmonics above this part of the rate may be folded or filtered by the recorder. */
const HIGHEST_PART_OF_RATE = 0.45;
/** Distortion counts in the audio band (AES17: up to 20 kHz), whatever the recorder's rate, so that all recordings mean the same. */
const HIGHEST_HARMONIC_HZ = 20_000;
/** Where the tone lies this far below the tap's strongest band, its harmonics say nothing about the clip (measured trap). */
export const TONE_TOO_FAR_DOWN_DB = 30;

/** A window ends this long before its step does: a filter lets the next step's onset through a little early. */
const STEP_END_GUARD_SECONDS = 0.004;

/**
 * Level and distortion of each step of a drive ladder.
 *
 * @param samples the ladder's section, its first sample at `startFrame` of the recording
 * @param ladderStartSeconds when the ladder arrives in the recording, by its own clock
 * @param curve magnitude of the tap for left and right together, to take its filters out of the harmonics
 */
export function measureLadder(of: {
  ladder: LadderSection;
  samples: Float32Array;
  startFrame: number;
  sampleRateHz: number;
  ladderStartSeconds: number;
  clockPpm: number;
  curve: MagnitudeCurve;
}): LadderMeasurement {
  const { ladder, samples, sampleRateHz, curve } = of;
  const stretch = 1 + of.clockPpm * 1e-6;
  const toneHz = ladder.toneHz / stretch;
  const upTo = (hz: number) => Math.min(HIGHEST_HARMONIC, Math.floor(hz / toneHz));
  // All that the recording holds are fitted, so that none passes for noise; those of the audio band count.
  const fittedHarmonic = upTo(HIGHEST_PART_OF_RATE * sampleRateHz);
  const highestHarmonic = Math.min(fittedHarmonic, upTo(HIGHEST_HARMONIC_HZ));
  const length = Math.round((ladder.cyclesUsed / toneHz) * sampleRateHz);
  const fitter = fitterFor({
    cyclesPerSample: toneHz / sampleRateHz,
    length,
    highestHarmonic: fittedHarmonic,
  });
  const relativeGains = harmonicGains({ curve, toneHz: ladder.toneHz, highestHarmonic });
  const settling = ladder.cyclesPerStep - ladder.cyclesUsed;
  const steps = ladder.driveDbFs.map((driveDbFs, i): LadderStep => {
    const inLadder =
      ladderStepStartSeconds(ladder, i) -
      ladder.startSeconds +
      settling / ladder.toneHz -
      STEP_END_GUARD_SECONDS;
    const start = Math.round((of.ladderStartSeconds + inLadder * stretch) * sampleRateHz) - of.startFrame;
    const fit = fitter.fit(samples, start);
    const fundamental = fit.amplitude[0];
    const harmonics = Array.from(
      fit.amplitude.subarray(1, highestHarmonic),
      (amplitude) => Math.sqrt(Math.max(0, amplitude ** 2 - fit.amplitudeNoisePower)) / fundamental,
    );
    return {
      driveDbFs,
      levelDbFs: decibels(fundamental + 1e-15),
      levelSigmaDb: (DB_PER_NEPER * Math.sqrt(fit.amplitudeNoisePower / 2)) / (fundamental + 1e-15),
      harmonics,
      thd: Math.hypot(...harmonics),
      thdBeforeFilters:
        relativeGains === null ? null : Math.hypot(...harmonics.map((h, k) => h / relativeGains[k])),
      thdNoise: Math.sqrt(fit.amplitudeNoisePower * harmonics.length) / (fundamental + 1e-15),
      peakDbFs: decibels(peakOf(samples.subarray(Math.max(0, start), Math.max(0, start + length))) + 1e-15),
    };
  });
  return { toneHz: ladder.toneHz, highestHarmonic, steps: steps.filter(isHeard) };
}

/** Digital zero is no clean tone: far below what 32-bit samples hold beside a full-scale one. */
const LEAST_LEVEL_DB_FS = -240;

function isHeard({ levelDbFs, levelSigmaDb, thd }: LadderStep): boolean {
  return levelDbFs > LEAST_LEVEL_DB_FS && [levelDbFs, levelSigmaDb, thd].every(Number.isFinite);
}

/** |H(kf)| / |H(f)| for k = 2, 3, ...; null where the tone is too far down or a low harmonic is not to be trusted. */
function harmonicGains(of: {
  curve: MagnitudeCurve;
  toneHz: number;
  highestHarmonic: number;
}): number[] | null {
  const { curve, toneHz } = of;
  const tone = magnitudeAt(curve, toneHz);
  if (tone === null || decibels(curve.strongest / tone) >= TONE_TOO_FAR_DOWN_DB) return null;
  const gains: number[] = [];
  for (let k = 2; k <= of.highestHarmonic; k++) {
    const gain = magnitudeAt(curve, k * toneHz);
    // A harmonic that the tap does not carry adds nothing; without the third there is no saying.
    if (gain === null && k <= 3) return null;
    gains.push(gain === null ? Number.POSITIVE_INFINITY : gain / tone);
  }
  return gains;
}

function peakOf(samples: Float32Array): number {
  return kernels.extent(samples, sumWork(1), samples.length);
}

const sumWork = reused(doubles);

/** Three tones at two rates, twice over (chosen here; more only cost memory). */
const MOST_FITTERS_KEPT = 12;
const fitters = kept<HarmonicFitter>(MOST_FITTERS_KEPT);

/**
 * Recordings of one recorder share a fitter: clocks are rounded to 0.1 ppm, by which a tone turns less than 10^-5 radians
 * within a step. The fitter is that of the rounded clock, so that results do not depend on which recording came first.
 */
function fitterFor(of: { cyclesPerSample: number; length: number; highestHarmonic: number }): HarmonicFitter {
  const rounded = of.cyclesPerSample.toPrecision(7);
  const key = `${rounded} ${of.length} ${of.highestHarmonic}`;
  return fitters(key, () => harmonicFitter({ ...of, cyclesPerSample: Number(rounded) }));
}
