import { z } from 'zod';
import { outputSchema, turnOnSchema } from '../equipment.ts';
import { measuredOrReasonSchema } from '../measured-schema.ts';
import { reasonSchema } from '../reason.ts';
import { base, setting } from './base.ts';

/** What to buy before anything is set, or that nothing is needed. */
export const orderSchema = z.object({
  ...base,
  kind: z.literal('order'),
  /** Whether the parts given (or a plain amplifier with speaker-level inputs) do the job as they are. */
  nothingToOrder: z.boolean(),
  converterClass: z.enum(['none', 'gain only', 'summing', 'summing with restoration', 'digital processor']),
  inputs: z.number().int(),
  /** Most that an output in use gives: its rail at the highest supply, else at the loudest setting recorded. */
  worstInputVoltsRms: measuredOrReasonSchema,
  /** The same with the margin: what an input must be rated for. */
  inputRatingVoltsRms: measuredOrReasonSchema,
  summing: z.boolean(),
  delay: z.boolean(),
  /** The longest that one of its inputs has to be delayed; absent where none has, and from older files. */
  delaySeconds: z.number().optional(),
  restorationDb: z.number(),
  /** Feeds that go straight into their amplifier; absent from older files. */
  straight: z.array(z.object({ output: outputSchema, into: z.enum(['line', 'speaker']) })).optional(),
  /** Absent from older files: speaker. */
  level: z.enum(['speaker', 'line']).optional(),
  /** What has to stay connected to the factory outputs. */
  load: reasonSchema,
  turnOn: turnOnSchema,
  /** Of the parts given: the one that was judged and where it falls short. */
  given: z.object({ name: z.string(), shortfalls: z.array(reasonSchema) }).nullable(),
});

export const feedTapSchema = z.object({
  tapId: z.string(),
  polarity: z.enum(['as wired', 'inverted']),
  trimDb: z.number(),
  delaySeconds: z.number(),
});
export type FeedTap = z.infer<typeof feedTapSchema>;

/** How even a sum is, in one programme. */
const flatnessSchema = z.object({
  /** Highest less lowest within `bandHz`, third-octave smoothing not applied. */
  rippleDb: z.number(),
  /** Deepest cancellation: the sum against the same taps adding without any. */
  worstDipDb: z.number(),
  worstDipHz: z.number(),
  /** Where the sum stays within 6 dB of its middle; null where it carries nothing. */
  bandHz: z.tuple([z.number(), z.number()]).nullable(),
  /** Level in its band against programme on both sides. */
  levelDb: z.number(),
});
export type Flatness = z.infer<typeof flatnessSchema>;

/** Where the taps were not recorded together: everything between these may be true. */
const unknownTimingSchema = z.object({
  bestDipDb: z.number(),
  worstDipDb: z.number(),
  atHz: z.number(),
  recordNext: reasonSchema,
});

/** Which wire of the output goes to which terminal of the input; absent from results of older versions. */
const connectionSchema = z.object({
  tapId: z.string(),
  /** Plus of the input to the wire that was taken as minus, and minus to plus. */
  cross: z.boolean(),
  /** Colours as noted in the bay, in the order in which they are connected; null where nobody noted them. */
  plusTo: z.string().nullable(),
  minusTo: z.string().nullable(),
  /** The radio gives this output inverted: whether the factory turned its speaker too is seen at the cone. */
  lookAtCone: z.boolean(),
});
export type FeedConnection = z.infer<typeof connectionSchema>;

export const feedSchema = z.object({
  ...base,
  kind: z.literal('feed'),
  output: outputSchema,
  side: z.enum(['left', 'right', 'both']),
  taps: z.array(feedTapSchema),
  /** Outputs of the same place and side that no feed takes: their speakers go on playing from the radio. */
  leftWithRadio: z.array(z.string()).optional(),
  /** One for each of `taps`. */
  connections: z.array(connectionSchema).optional(),
  summed: z.boolean(),
  /** Setting whose responses were added. */
  setting,
  /** Null where timing is unknown; `unknownTiming` then holds what can be said. */
  programmes: z.object({ left: flatnessSchema, right: flatnessSchema, both: flatnessSchema }).nullable(),
  unknownTiming: unknownTimingSchema.nullable(),
  /** Programme of the other side below programme of this one; null for the subwoofer. */
  separationDb: z.number().nullable(),
  /** Sum on the frequency grid, decibels as the taps' responses; the programme is `side`. Null where timing is unknown. */
  sumDb: z.array(z.number()).nullable(),
  /** Ripple at every setting at which all the taps were recorded. */
  atSettings: z.array(z.object({ setting, rippleDb: z.number() })),
  /** What the customer no longer has: fade, balance, stereo. */
  lost: z.array(reasonSchema),
  /** Best first. */
  runnersUp: z.array(
    z.object({
      taps: z.array(feedTapSchema),
      rippleDb: z.number(),
      worstDipDb: z.number(),
      bandHz: z.tuple([z.number(), z.number()]).nullable(),
      lostBecause: reasonSchema,
    }),
  ),
});

export const restorationSchema = z.object({
  ...base,
  kind: z.literal('restoration'),
  output: z.literal('subwoofer'),
  tapIds: z.array(z.string()),
  verdict: z.enum(['none needed', 'restore', 'cannot be told']),
  /** Highest recorded setting that needs none. */
  fromSetting: setting.nullable(),
  /** At `toSetting`, at `atHz`. */
  amountDb: z.number(),
  atHz: z.number(),
  /** The highest clean setting, or the one up to which 12 dB are enough. */
  toSetting: setting.nullable(),
  frequencyHz: z.array(z.number()),
  /** One value for each of `frequencyHz`; `residualDb` is negative where bass stays missing. */
  settings: z.array(
    z.object({
      setting,
      neededDb: z.array(z.number()),
      boostDb: z.array(z.number()),
      residualDb: z.array(z.number()),
    }),
  ),
  /** Loss at the top recorded setting; `atLeast` where no plateau was recorded. Null where it cannot be told, absent from older results. */
  loss: z
    .object({
      atLeast: z.boolean(),
      db: z.number(),
      atHz: z.number(),
      betweenSettings: z.tuple([setting, setting]),
    })
    .nullable()
    .optional(),
  /** Highest clean setting up to which the boost that can be had is enough; gains are for it. Null where nothing is restored. */
  holdsUpToSetting: setting.nullable().optional(),
  /** Lowest frequency that the boost still brings back in full at the highest clean setting; absent where it brings back all. */
  reachesDownToHz: z.number().optional(),
  /** True where the converter gives one boost at every setting: half of what the loudest needs. */
  sameAtEverySetting: z.boolean().optional(),
  /** The shelf that comes nearest, where the data fit one. */
  shelf: z.object({ frequencyHz: z.number(), gainDb: z.number() }).nullable(),
  limitedBy: z.enum(['nothing', 'the converter', '12 dB', 'headroom', 'cone travel']),
  /**
   * The feed's bass against its plateau without and with the boost, at each of `settings` and finer than they are; absent
   * where nothing is restored and from results of older versions.
   */
  predicted: z
    .object({
      frequencyHz: z.array(z.number()),
      settings: z.array(z.object({ setting, beforeDb: z.array(z.number()), afterDb: z.array(z.number()) })),
    })
    .optional(),
  /** Its feed has no gains yet: nothing is set before that is settled. Absent where it has some. */
  waits: z.boolean().optional(),
  /** What no boost brings back, such as what a limiter holds. */
  impossible: z.array(reasonSchema),
});
