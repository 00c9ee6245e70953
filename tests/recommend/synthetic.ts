import type { EquipmentInput } from '../../src/model/equipment.ts';
import { equipmentSchema } from '../../src/model/equipment.ts';
import { BASS_FREQUENCIES_HZ, type Finding, type FindingOf } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { measured, notMeasurable } from '../../src/model/measured.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import { asWritten } from '../../src/model/reason.ts';
import type { Position, Session } from '../../src/model/session.ts';
import type { PlanInput } from '../../src/recommend/plan-context.ts';

/** A radio made of formulas: what a perfect analysis of it would have measured and found. */
export interface SyntheticTap {
  readonly id: string;
  /** Both: half of each. */
  readonly side: 'left' | 'right' | 'both';
  readonly inverted?: boolean;
  readonly position: Position;
  /** Complex response at a frequency and setting, without the volume; 1 where flat. */
  readonly response?: (frequencyHz: number, setting: number) => { real: number; imag: number };
  readonly delaySeconds?: number;
  readonly band?: Partial<FindingOf<'band'>>;
  readonly timeOrigin?: string | undefined;
  /** As the session states it. */
  readonly level?: 'line' | 'speaker';
}

export interface SyntheticRadio {
  readonly taps: readonly SyntheticTap[];
  readonly settings: readonly number[];
  /** RMS volts of a full-scale tone at 1 kHz at a setting; 1 dB a step. */
  readonly volts: { readonly at: number; readonly rms: number } | null;
  readonly railVoltsPeak?: number | undefined;
  readonly findings?: readonly Finding[];
  readonly clipping?: Partial<FindingOf<'clipping'>>;
  readonly clean?: Partial<FindingOf<'clean-settings'>>;
  readonly bassChange?: Partial<FindingOf<'bass-change'>>;
  readonly equipment?: EquipmentInput | null;
}

const VOLTS_PER_FULL_SCALE = 20;

export function planInput(radio: SyntheticRadio): PlanInput {
  const equipment = radio.equipment == null ? null : equipmentSchema.parse(radio.equipment);
  return {
    session: sessionOf(radio, equipment),
    measurements: radio.taps.flatMap((tap) =>
      radio.settings.map((setting) => measurementOf(radio, tap, setting)),
    ),
    findings: [...radio.taps.flatMap((tap) => findingsOfTap(radio, tap)), ...(radio.findings ?? [])],
    equipment,
  };
}

export function voltsAt({ volts }: SyntheticRadio, setting: number): number {
  return volts === null ? 1 : volts.rms * 10 ** ((setting - volts.at) / 20);
}

export function pair(
  position: Position,
  more: Omit<SyntheticTap, 'id' | 'side' | 'position'> = {},
): SyntheticTap[] {
  return (['left', 'right'] as const).map((side) => ({ id: `${position} ${side}`, side, position, ...more }));
}

export const FULL_RANGE = { verdict: 'full range' } as const;

/** Magnitude only, phase zero. */
export function gainDb(db: number): { real: number; imag: number } {
  return { real: 10 ** (db / 20), imag: 0 };
}

function sessionOf({ taps, settings }: SyntheticRadio, equipment: Session['equipment']): Session {
  return {
    name: 'synthetic',
    taps: taps.map(({ id, side, position, level }) => ({
      id,
      label: id,
      side,
      position,
      load: 'speaker',
      connection: 'pair',
      ...(level === undefined ? {} : { level }),
    })),
    settings,
    recordings: [],
    calibration: { kind: 'none' },
    referenceTapId: null,
    source: 'stick',
    supply: { volts: 14.4, engineRunning: false },
    equipment,
    notes: [],
  };
}

function measurementOf(radio: SyntheticRadio, tap: SyntheticTap, setting: number): TapMeasurement {
  const real = new Float64Array(gridFrequencyHz.length);
  const imag = new Float64Array(gridFrequencyHz.length);
  const silent = { real: new Float64Array(real.length), imag: new Float64Array(real.length) };
  const shares = tap.side === 'both' ? 0.5 : 1;
  const level = (voltsAt(radio, setting) / VOLTS_PER_FULL_SCALE) * shares * (tap.inverted === true ? -1 : 1);
  for (let i = 0; i < real.length; i++) {
    const response = tap.response?.(gridFrequencyHz[i], setting) ?? { real: 1, imag: 0 };
    const phase = -2 * Math.PI * gridFrequencyHz[i] * (tap.delaySeconds ?? 0);
    real[i] = level * (response.real * Math.cos(phase) - response.imag * Math.sin(phase));
    imag[i] = level * (response.real * Math.sin(phase) + response.imag * Math.cos(phase));
  }
  const withNoise = (spectrum: { real: Float64Array; imag: Float64Array }) => ({
    ...spectrum,
    sigma: new Float64Array(real.length).fill(1e-6),
    trustedHz: [10, 20_000] as const,
  });
  return {
    tapId: tap.id,
    setting,
    evidence: [],
    timeOrigin: tap.timeOrigin ?? `setting ${setting}`,
    left: withNoise(tap.side === 'right' ? silent : { real, imag }),
    right: withNoise(tap.side === 'left' ? silent : { real, imag }),
    bothLowDrive: null,
    ladders: [],
    noise: null,
    recorder: { peakDbFs: -10, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
    voltsPerFullScale:
      radio.volts === null ? null : { volts: VOLTS_PER_FULL_SCALE, relativeUncertainty: 0.01 },
    supplyVolts: 14.4,
    repeats: { count: 1, spreadDb: 0 },
  };
}

function findingsOfTap(radio: SyntheticRadio, tap: SyntheticTap): Finding[] {
  const base = (kind: string) => ({ id: `${kind}-${tap.id}`, tapIds: [tap.id], evidence: [] });
  const { settings } = radio;
  const clean = cleanSettingsOf(radio, tap, base('clean-settings'));
  return [
    {
      ...base('band'),
      kind: 'band',
      verdict: 'band-limited',
      reason: null,
      lowEdge: null,
      highEdge: null,
      fixedEq: [],
      ...tap.band,
    },
    {
      ...base('routing'),
      kind: 'routing',
      leftDb: tap.side === 'right' ? -80 : 0,
      rightDb: tap.side === 'left' ? -80 : 0,
      carries: tap.side === 'both' ? 'left and right' : tap.side,
      agreesWithSession: true,
    },
    {
      ...base('volume-law'),
      kind: 'volume-law',
      levels: settings.map((setting) => ({
        setting,
        levelDbFs: 20 * Math.log10(voltsAt(radio, setting) / VOLTS_PER_FULL_SCALE),
        voltsRms:
          radio.volts === null
            ? notMeasurable(asWritten('not calibrated'))
            : measured({ value: voltsAt(radio, setting), plusMinus: 0 }),
      })),
      dbPerStep: 1,
      followsVolume: true,
    },
    {
      ...base('bass-change'),
      kind: 'bass-change',
      verdict: 'steady',
      reason: null,
      plateauSettings: [...settings],
      changes: settings.map((setting) => ({
        setting,
        changeDb: BASS_FREQUENCIES_HZ.map(() => measured({ value: 0, plusMinus: 0.05 })),
      })),
      onset: null,
      shape: null,
      recordNext: null,
      ...radio.bassChange,
    },
    clippingOf(radio, clean, base('clipping')),
    clean,
    ...railOf(radio, clean, base('rail')),
  ];
}

/** What clips behind the volume control shows its rail, where the recordings are calibrated. */
function railOf(
  { volts, railVoltsPeak, findings = [] }: SyntheticRadio,
  { firstClippingRecorded }: FindingOf<'clean-settings'>,
  base: Pick<Finding, 'id' | 'tapIds' | 'evidence'>,
): Finding[] {
  const isGiven = findings.some(({ kind }) => kind === 'rail');
  if (volts === null || railVoltsPeak === undefined || firstClippingRecorded === null || isGiven) return [];
  return [
    {
      ...base,
      kind: 'rail',
      clipVoltsPeak: measured({ value: railVoltsPeak, plusMinus: 0 }),
      expectedVoltsPeak: [railVoltsPeak, railVoltsPeak],
      verdict: 'as the supply allows',
      question: null,
    },
  ];
}

/** 1 % distortion lies 0.27 dB past the rail (brief of the trade; a hard clip). */
const ONE_PERCENT_PAST_RAIL_DB = 0.27;

function clippingOf(
  radio: SyntheticRadio,
  { firstClippingRecorded }: FindingOf<'clean-settings'>,
  base: Pick<Finding, 'id' | 'tapIds' | 'evidence'>,
): FindingOf<'clipping'> {
  return {
    ...base,
    kind: 'clipping',
    toneHz: 997,
    perSetting: [],
    place: firstClippingRecorded === null ? 'none seen' : 'after the volume control',
    highestHarmonic: 10,
    ...radio.clipping,
  };
}

function cleanSettingsOf(
  radio: SyntheticRadio,
  tap: SyntheticTap,
  base: Pick<Finding, 'id' | 'tapIds' | 'evidence'>,
): FindingOf<'clean-settings'> {
  const { settings, railVoltsPeak } = radio;
  let [mostBoostedHz, boost] = [1000, 0];
  for (const hz of gridFrequencyHz) {
    const response = tap.response?.(hz, settings[0]) ?? { real: 1, imag: 0 };
    const magnitude = Math.hypot(response.real, response.imag);
    if (magnitude > boost + 1e-9) [mostBoostedHz, boost] = [hz, magnitude];
  }
  const pastRailDb = (setting: number) =>
    railVoltsPeak === undefined
      ? -100
      : 20 * Math.log10((voltsAt(radio, setting) * boost * Math.SQRT2) / railVoltsPeak);
  const clean = settings.filter((setting) => pastRailDb(setting) < ONE_PERCENT_PAST_RAIL_DB);
  const clipping = settings.filter((setting) => pastRailDb(setting) >= ONE_PERCENT_PAST_RAIL_DB);
  const highest = clean.at(-1) ?? null;
  return {
    ...base,
    kind: 'clean-settings',
    settings: [...settings],
    highestCleanRecorded: highest,
    firstClippingRecorded: clipping[0] ?? null,
    highestCleanComputed:
      highest === null || clipping.length === 0
        ? null
        : Math.floor(highest + ONE_PERCENT_PAST_RAIL_DB - pastRailDb(highest)),
    mostBoostedHz,
    ...radio.clean,
  };
}
