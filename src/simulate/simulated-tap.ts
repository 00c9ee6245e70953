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
  kind: z.enum(['peak', 'low shelf', 'high shelf']).describe('Shape of the EQ.'),
  frequencyHz: positive.describe('Middle of a peak, half-way point of a shelf, Hz.'),
  gainDb: z.number().describe('Gain, dB.'),
  q: positive.default(Math.SQRT1_2).describe('Q. Default: 0.707.'),
});

const crossoverFilterSchema = form({
  side: z.enum(['low-pass', 'high-pass']).describe('Which side it keeps.'),
  family: z.enum(['butterworth', 'linkwitz-riley', 'bessel']).describe('Family of the filter.'),
  order: z.int().min(1).max(8).describe('Order: 6 dB an octave each.'),
  cornerHz: positive.describe('Corner, Hz.'),
});

/** A loudness contour is a low shelf (and perhaps a high one) with gain at low settings. */
const volumeDependentSchema = z.discriminatedUnion('kind', [
  form({
    kind: z.enum(['low shelf', 'high shelf', 'peak']).describe('Shape of the EQ.'),
    frequencyHz: positive.describe('Middle of a peak, half-way point of a shelf, Hz.'),
    q: positive.default(Math.SQRT1_2).describe('Q. Default: 0.707.'),
    gainDb: bySetting.describe("Gain by volume setting, dB: { '10': 0, '30': -8 }."),
  }),
  form({
    kind: z.literal('high-pass').describe('A high-pass whose corner moves with the volume.'),
    family: z
      .enum(['butterworth', 'linkwitz-riley', 'bessel'])
      .default('butterworth')
      .describe('Family of the filter. Default: butterworth.'),
    order: z.int().min(1).max(8).describe('Order: 6 dB an octave each.'),
    /** 0 where there is no filter yet. */
    cornerHz: bySetting.describe('Corner by volume setting, Hz; 0 where there is no filter yet.'),
  }),
]);

/** Holds the level of the band below `belowHz` (second-order Butterworth) at a threshold; the rest passes. */
const limiterFields = {
  belowHz: positive.default(120).describe('It holds what lies below this, Hz. Default: 120.'),
  attackSeconds: positive.default(0.005).describe('Time in which it takes hold, seconds. Default: 0.005.'),
  releaseSeconds: positive.default(0.2).describe('Time in which it lets go, seconds. Default: 0.2.'),
  /** Peaks are held this long: shorter than half a period, the gain ripples and distorts. */
  holdSeconds: positive
    .default(0.03)
    .describe(
      'How long it holds a peak, seconds: below half a period its gain ripples and distorts. Default: 0.03.',
    ),
};

const volumeLawSchema = z.union([
  form({
    atSetting: z.number().describe('The setting at which voltsRms holds.'),
    voltsRms: positive.describe('Volts RMS there.'),
    dbPerStep: z.number().describe('What a step of the volume adds, dB.'),
  }),
  form({ voltsRms: bySetting.describe('Volts RMS by volume setting.') }),
]);

/** White, 0 to 24 kHz: in volts RMS, or in decibels below a full-scale sine at that tap and setting (before clipping). */
const noiseSchema = z.union([
  form({ snrDb: z.number().describe('Noise below a full-scale sine at each setting, dB.') }),
  form({ voltsRms: z.number().min(0).describe('Noise from 0 to 24 kHz, volts RMS.') }),
]);

const lineSchema = form({
  frequencyHz: positive.describe('Frequency, Hz.'),
  voltsRms: positive.describe('Level, volts RMS.'),
  /** Harmonics 2, 3, ... at 1/2, 1/3, ... of the level; 1 for the line alone. */
  harmonics: z
    .int()
    .min(1)
    .default(1)
    .describe('Harmonics up to this one, at 1/2, 1/3, ... of the level; 1 for the tone alone. Default: 1.'),
});

/** Whine and sounds that turn with the engine; heard in noise takes only, while it runs. */
const engineLineSchema = form({
  /** Periods of the lowest line in a revolution of the engine. */
  perRevolution: positive.describe('Periods of the lowest tone in a revolution of the engine.'),
  voltsRms: positive.describe('Level, volts RMS.'),
  harmonics: z.int().min(1).default(1).describe('As for a steady tone. Default: 1.'),
});

const announcementSchema = form({
  kind: z.enum(['chime', 'voice']).describe('What is heard.'),
  file: z.string().optional().describe('The file it is in. Default: every file of takes.'),
  atSeconds: z.number().min(0).describe('When it begins, seconds from the start of the file.'),
  durationSeconds: positive.describe('How long it lasts, seconds.'),
  voltsRms: positive.describe('Level, volts RMS.'),
});

/** Photos are left out: nobody takes them. */
const { photos: _, ...notedOfTap } = bayNotesInput;

export const simulatedTapSchema = form({
  id: z.string().min(1).describe('Short name of the output.'),
  label: z.string().optional().describe('Name for the report. Default: the id.'),
  side: sideSchema.describe('The side it carries: left, right or both.'),
  position: positionSchema.default('unknown').describe('Where its speaker sits. Default: unknown.'),
  load: loadSchema.default('speaker').describe('What hangs on it. Default: speaker.'),
  connection: connectionSchema
    .default('pair')
    .describe('Recorded across the pair, or one leg to chassis. Default: pair.'),
  /** As the session says it; nothing where left out. */
  level: outputLevelSchema
    .optional()
    .describe('Level that the session states: speaker or line. Default: not stated.'),
  /** What the session says, where a slip is wanted; the truth otherwise. */
  statedConnection: connectionSchema
    .optional()
    .describe('Connection that the session states, to simulate a slip. Default: the true one.'),
  /** What the person noted of it; the session says it as it is written here. */
  ...notedOfTap,
  /** Weights of the two sides; by `side` where left out (both: half of each). */
  routing: form({
    left: z.number().describe('Weight of left.'),
    right: z.number().describe('Weight of right.'),
  })
    .optional()
    .describe('How much of left and right it carries. Default: by side (both: half of each).'),
  /** RMS volts at the tap for a full-scale sine of the track, without EQ, filters and clipping. */
  volume: volumeLawSchema.describe(
    'RMS volts for a full-scale sine of the track, before EQ, filters and clipping.',
  ),
  clipBeforeDbFs: z
    .number()
    .nullable()
    .default(null)
    .describe('Level at which it clips ahead of the volume control, dBFS of the track. Default: none.'),
  limiterBefore: form({
    ...limiterFields,
    thresholdDbFs: z.number().describe('Level that it holds, dBFS of the track.'),
  })
    .nullable()
    .default(null)
    .describe('Bass limiter ahead of the volume control; thresholdDbFs is where it holds. Default: none.'),
  fixedEq: z.array(equaliserSchema).default([]).describe('EQ that is always there. Default: none.'),
  volumeDependent: z
    .array(volumeDependentSchema)
    .default([])
    .describe('EQ or high-pass that follows the volume: a bass cut, a loudness contour. Default: none.'),
  crossover: z
    .array(crossoverFilterSchema)
    .default([])
    .describe('Filters of its band. Default: none, full range.'),
  allPass: z
    .array(
      form({
        order: z.union([z.literal(1), z.literal(2)]).describe('Order, 1 or 2.'),
        cornerHz: positive.describe('Frequency of half the turn, Hz.'),
        q: positive.default(Math.SQRT1_2).describe('Q. Default: 0.707.'),
      }),
    )
    .default([])
    .describe('All-pass filters: they turn the phase alone. Default: none.'),
  delayMicroseconds: z.number().min(0).default(0).describe('Delay, microseconds. Default: 0.'),
  inverted: z.boolean().default(false).describe('Whether plus and minus are swapped. Default: false.'),
  limiterAfter: form({
    ...limiterFields,
    thresholdVoltsRms: positive.describe('Level that it holds, volts RMS.'),
  })
    .nullable()
    .default(null)
    .describe('Bass limiter behind the volume control; thresholdVoltsRms is where it holds. Default: none.'),
  railVoltsPeak: positive
    .nullable()
    .default(null)
    .describe('Peak volts at which the power stage clips. Default: never.'),
  /** Volts RMS at 20 Hz at which the core of an output transformer is full; null where there is none. */
  transformerVoltsAt20Hz: positive
    .nullable()
    .default(null)
    .describe(
      'RMS volts at 20 Hz at which the core of an output transformer is full. Default: no transformer.',
    ),
  noise: noiseSchema
    .default({ snrDb: 60 })
    .describe('White noise: snrDb below a full-scale sine, or voltsRms. Default: { snrDb: 60 }.'),
  lines: z.array(lineSchema).default([]).describe('Steady tones such as hum. Default: none.'),
  engineLines: z
    .array(engineLineSchema)
    .default([])
    .describe('Tones that turn with the engine, in noise takes while it runs. Default: none.'),
  /** Chimes and voice prompts at their own level: in every file of takes, or in the one named. */
  announcements: z
    .array(announcementSchema)
    .default([])
    .describe('Chimes and voice prompts at their own level. Default: none.'),
  /** Time in which the output comes up at the track's start. */
  fadeInSeconds: z
    .number()
    .min(0)
    .default(0)
    .describe('Time in which the output comes up at the start of the track, seconds. Default: 0.'),
  /**
   * Gain that moves by itself while a take plays, at all settings or at one: a supply that sags, or volume that follows speed
   * or engine.
   */
  gainDrift: form({
    gainDb: z.number().describe('By how much the level moves, dB.'),
    fromSeconds: z.number().min(0).default(0).describe('When it begins, seconds into the take. Default: 0.'),
    toSeconds: z.number().min(0).default(0).describe('When it ends, seconds into the take. Default: 0.'),
    setting: z.number().optional().describe('The one setting at which it happens. Default: all.'),
  })
    .optional()
    .describe('Gain that moves by itself while a take plays. Default: none.'),
  muteInSilence: form({
    afterSeconds: positive.default(1).describe('Silence until it mutes, seconds. Default: 1.'),
    attenuationDb: positive.default(40).describe('How far it mutes, dB. Default: 40.'),
  })
    .nullable()
    .default(null)
    .describe('Mutes in silence: after so many seconds, by so many dB. Default: never.'),
});
export type SimulatedTap = z.output<typeof simulatedTapSchema>;
