import { z } from 'zod';
import { equipmentSchema } from '../model/equipment.ts';
import { form } from '../model/form.ts';
import { connectionSchema, loadSchema, positionSchema, sideSchema } from '../model/session.ts';
import { parseSettings } from '../model/setting-range.ts';

/**
 * A factory radio with everything declared that the tool is to find out, the person who records it, and the recorder.
 *
 * The signal of a tap, in this order: decoder (16-bit track) -> routing of left and right -> clip before -> limiter before
 * -> volume control -> fixed EQ -> EQ that depends on the volume setting -> crossover and all-pass -> delay and polarity
 * -> limiter after -> rail clip -> muting, hiss and lines -> one leg or the pair -> pad -> recorder (coupling, own noise,
 * full scale, clock, bits).
 */
const positive = z.number().positive();
/** Value by volume setting; straight lines between the settings named, level beyond them. */
const bySetting = z.record(z.string().regex(/^-?\d+(\.\d+)?$/, 'volume settings as names'), z.number());

const equaliserSchema = form({
  kind: z.enum(['peak', 'low shelf', 'high shelf']),
  frequencyHz: positive,
  gainDb: z.number(),
  q: positive.default(Math.SQRT1_2),
});

const crossoverFilterSchema = form({
  side: z.enum(['low-pass', 'high-pass']),
  family: z.enum(['butterworth', 'linkwitz-riley', 'bessel']),
  order: z.int().min(1).max(8),
  cornerHz: positive,
});

/** A loudness contour is a low shelf (and perhaps a high one) with gain at low settings. */
const volumeDependentSchema = z.discriminatedUnion('kind', [
  form({
    kind: z.enum(['low shelf', 'high shelf']),
    frequencyHz: positive,
    q: positive.default(Math.SQRT1_2),
    gainDb: bySetting,
  }),
  form({
    kind: z.literal('high-pass'),
    family: z.enum(['butterworth', 'linkwitz-riley', 'bessel']).default('butterworth'),
    order: z.int().min(1).max(8),
    /** 0 where there is no filter yet. */
    cornerHz: bySetting,
  }),
]);

/** Holds the level of the band below `belowHz` (second-order Butterworth) at a threshold; the rest passes. */
const limiterFields = {
  belowHz: positive.default(120),
  attackSeconds: positive.default(0.005),
  releaseSeconds: positive.default(0.2),
  /** Peaks are held this long: shorter than half a period, the gain ripples and distorts. */
  holdSeconds: positive.default(0.03),
};

const volumeLawSchema = z.union([
  form({ atSetting: z.number(), voltsRms: positive, dbPerStep: z.number() }),
  form({ voltsRms: bySetting }),
]);

/** White, 0 to 24 kHz: in volts RMS, or in decibels below a full-scale sine at that tap and setting (before clipping). */
const noiseSchema = z.union([form({ snrDb: z.number() }), form({ voltsRms: z.number().min(0) })]);

const lineSchema = form({
  frequencyHz: positive,
  voltsRms: positive,
  /** Harmonics 2, 3, ... at 1/2, 1/3, ... of the level; 1 for the line alone. */
  harmonics: z.int().min(1).default(1),
});

const tapShape = {
  id: z.string().min(1),
  label: z.string().optional(),
  side: sideSchema,
  position: positionSchema.default('unknown'),
  load: loadSchema.default('speaker'),
  connection: connectionSchema.default('pair'),
  /** What the session says, where a slip is wanted; the truth otherwise. */
  statedConnection: connectionSchema.optional(),
  /** Weights of the two sides; by `side` where left out (both: half of each). */
  routing: form({ left: z.number(), right: z.number() }).optional(),
  /** RMS volts at the tap for a full-scale sine of the track, without EQ, filters and clipping. */
  volume: volumeLawSchema,
  clipBeforeDbFs: z.number().nullable().default(null),
  limiterBefore: form({ ...limiterFields, thresholdDbFs: z.number() })
    .nullable()
    .default(null),
  fixedEq: z.array(equaliserSchema).default([]),
  volumeDependent: z.array(volumeDependentSchema).default([]),
  crossover: z.array(crossoverFilterSchema).default([]),
  allPass: z
    .array(
      form({
        order: z.union([z.literal(1), z.literal(2)]),
        cornerHz: positive,
        q: positive.default(Math.SQRT1_2),
      }),
    )
    .default([]),
  delayMicroseconds: z.number().min(0).default(0),
  inverted: z.boolean().default(false),
  limiterAfter: form({ ...limiterFields, thresholdVoltsRms: positive })
    .nullable()
    .default(null),
  railVoltsPeak: positive.nullable().default(null),
  noise: noiseSchema.default({ snrDb: 60 }),
  lines: z.array(lineSchema).default([]),
  muteInSilence: z
    .strictObject({ afterSeconds: positive.default(1), attenuationDb: positive.default(40) })
    .nullable()
    .default(null),
};
const tapSchema = form(tapShape);
export type SimulatedTap = z.output<typeof tapSchema>;

const range = z.tuple([z.number(), z.number()]);

const recorderSchema = form({
  sampleRateHz: z
    .union([44_100, 48_000, 88_200, 96_000, 176_400, 192_000].map((rate) => z.literal(rate)))
    .default(48_000),
  bits: z.enum(['16', '24', '32f']).default('24'),
  padRatio: positive.default(11),
  /** RMS volts of a sine that just reaches full scale. */
  fullScaleVoltsRms: positive.default(1.4),
  /** First-order high-pass of its input; null for none. */
  couplingHz: positive.nullable().default(null),
  /** Own noise, 0 to 24 kHz, below a full-scale sine. */
  noiseDbFs: z.number().default(-120),
  /** Recorder clock against player clock, positive where the recorder runs fast. */
  clockPpm: z.number().min(-1000).max(1000).default(37),
  dcOffset: z.number().min(-0.5).max(0.5).default(0),
  /** The track begins this long after the recording; negative where recording began late. */
  startSeconds: range.default([0.6, 1.6]),
  /** The recording goes on this long after the track; negative where it was stopped early. */
  endSeconds: range.default([0.5, 1.2]),
});

const filesSchema = form({
  /** `per setting`: all taps in one file. `per pair`: the reference tap and one other in each. `one long file`: all in one. */
  kind: z.enum(['per setting', 'per pair', 'one long file']).default('per setting'),
  referenceTapId: z.string().optional(),
  /** Between takes of one long file. */
  gapSeconds: range.default([2, 5]),
  repeats: z.int().min(1).max(9).default(1),
  loop: z.boolean().default(false),
  shorted: z.boolean().default(false),
});

const calibrationSchema = z.union([
  /** The pad and recorder as they are, or with the ratio that the person wrote down. */
  form({ kind: z.literal('pad'), statedPadRatio: positive.optional() }),
  /** A file of a steady 100 Hz tone at -10 dBFS at the first tap and setting, with its true volts. */
  form({ kind: z.literal('tone') }),
  form({ kind: z.literal('none') }),
]);

const settingsSchema = z.union([
  z.array(z.number()).min(1),
  z.string().transform((text) => parseSettings({ text, where: 'settings' })),
]);

/** `everyTap` holds what all taps share; a tap's own fields win. */
export const scenarioSchema = z.preprocess(
  withSharedFields,
  form({
    name: z.string().default('Simulated factory outputs'),
    seed: z.int().default(1),
    track: z.enum(['full', 'response only']).default('full'),
    playerRateHz: z.union([z.literal(44_100), z.literal(48_000)]).default(48_000),
    settings: settingsSchema,
    taps: z.array(tapSchema).min(1),
    recorder: recorderSchema.prefault({}),
    files: filesSchema.prefault({}),
    calibration: calibrationSchema.default({ kind: 'pad' }),
    supply: form({ volts: positive, engineRunning: z.boolean().default(false) })
      .nullable()
      .default(null),
    source: z.string().default('USB stick'),
    equipment: equipmentSchema.nullable().default(null),
    notes: z.array(z.string()).default([]),
  }),
);
export type Scenario = z.output<typeof scenarioSchema>;

/** As people write it: only `settings` and `taps` (id, side, volume) are needed. */
export type ScenarioInput = Partial<Omit<ScenarioParts, 'taps' | 'settings'>> & {
  readonly settings: readonly number[];
  readonly taps: readonly TapInput[];
  readonly everyTap?: Partial<TapInput>;
};
export type TapInput = Partial<z.input<typeof tapSchema>> & { readonly id?: string };
interface ScenarioParts {
  name: string;
  seed: number;
  track: Scenario['track'];
  playerRateHz: Scenario['playerRateHz'];
  settings: readonly number[];
  taps: readonly TapInput[];
  recorder: z.input<typeof recorderSchema>;
  files: z.input<typeof filesSchema>;
  calibration: z.input<typeof calibrationSchema>;
  supply: { volts: number; engineRunning?: boolean } | null;
  source: string;
  equipment: z.input<typeof equipmentSchema> | null;
  notes: readonly string[];
}

function withSharedFields(input: unknown): unknown {
  if (!isGroup(input) || !isGroup(input.everyTap) || !Array.isArray(input.taps)) return input;
  const { everyTap, ...rest } = input;
  return { ...rest, taps: input.taps.map((tap) => (isGroup(tap) ? { ...everyTap, ...tap } : tap)) };
}

function isGroup(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
