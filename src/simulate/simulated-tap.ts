import { z } from 'zod';
import { bayNotesInput } from '../model/bay-notes.ts';
import { form } from '../model/form.ts';
import {
  connectionSchema,
  loadSchema,
  outputLevelSchema,
  positionSchema,
  sideSchema,
} from '../model/session.ts';

/** One output of the simulated radio; `scenario.ts` says in which order its parts act. */
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
    kind: z.enum(['low shelf', 'high shelf', 'peak']),
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

/** Whine and sounds that turn with the engine; heard in noise takes only, while it runs. */
const engineLineSchema = form({
  /** Periods of the lowest line in a revolution of the engine. */
  perRevolution: positive,
  voltsRms: positive,
  harmonics: z.int().min(1).default(1),
});

const announcementSchema = form({
  kind: z.enum(['chime', 'voice']),
  file: z.string().optional(),
  atSeconds: z.number().min(0),
  durationSeconds: positive,
  voltsRms: positive,
});

/** Photos are left out: nobody takes them. */
const { photos: _, ...notedOfTap } = bayNotesInput;

export const simulatedTapSchema = form({
  id: z.string().min(1),
  label: z.string().optional(),
  side: sideSchema,
  position: positionSchema.default('unknown'),
  load: loadSchema.default('speaker'),
  connection: connectionSchema.default('pair'),
  /** As the session says it; nothing where left out. */
  level: outputLevelSchema.optional(),
  /** What the session says, where a slip is wanted; the truth otherwise. */
  statedConnection: connectionSchema.optional(),
  /** What the person noted of it; the session says it as it is written here. */
  ...notedOfTap,
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
  /** Volts RMS at 20 Hz at which the core of an output transformer is full; null where there is none. */
  transformerVoltsAt20Hz: positive.nullable().default(null),
  noise: noiseSchema.default({ snrDb: 60 }),
  lines: z.array(lineSchema).default([]),
  engineLines: z.array(engineLineSchema).default([]),
  /** Chimes and voice prompts at their own level: in every file of takes, or in the one named. */
  announcements: z.array(announcementSchema).default([]),
  /** Time in which the output comes up at the track's start. */
  fadeInSeconds: z.number().min(0).default(0),
  /**
   * Gain that moves by itself while a take plays, at all settings or at one: a supply that sags, or volume that follows speed
   * or engine.
   */
  gainDrift: form({
    gainDb: z.number(),
    fromSeconds: z.number().min(0).default(0),
    toSeconds: z.number().min(0).default(0),
    setting: z.number().optional(),
  }).optional(),
  muteInSilence: form({ afterSeconds: positive.default(1), attenuationDb: positive.default(40) })
    .nullable()
    .default(null),
});
export type SimulatedTap = z.output<typeof simulatedTapSchema>;
