import { z } from 'zod';
import { outputSchema } from '../equipment.ts';
import { base } from './base.ts';

/** What stands between a channel and a small driver that the radio protected so far. */
export const protectionSchema = z.object({
  ...base,
  kind: z.literal('protection'),
  output: outputSchema,
  /** The outputs that fed the small drivers. */
  tapIds: z.array(z.string()),
  /** False where the radio sends them bass, and nothing that is noted keeps it away; absent from older files: true. */
  byRadio: z.boolean().optional(),
  /** The radio's own high-pass in front of them; where there is none, the corner that a tweeter asks for. */
  radioHighPass: z.object({
    cornerHz: z.number(),
    slopeDbPerOctave: z.number().nullable(),
  }),
  /**
   * `crossover`: the passive crossover given takes the channel. `capacitor`: a last protection only. `own channel`: as planned.
   * `ask`: how the speakers are wired is not known, one of `choices` has to be taken.
   */
  answer: z.enum(['crossover', 'capacitor', 'own channel', 'ask']),
  /** For a channel of its own. */
  highPass: z.object({
    notBelowHz: z.number(),
    leastSlopeDbPerOctave: z.number(),
    slopeDbPerOctave: z.number(),
    gainToneHz: z.number(),
  }),
  /** Tones of the stick that show whether the filter is in: below it and inside its band. Absent from older files. */
  proof: z.object({ lowHz: z.number(), highHz: z.number(), driveDbFs: z.number() }).optional(),
  /** First order at the radio's corner, C = 1/(2 pi f R): a last protection, no crossover. */
  capacitor: z.object({ ohms: z.number(), microfarads: z.number() }),
  /** What the channel sees with door and tweeter in parallel; null where one of them is not known. */
  parallelOhms: z.number().nullable(),
  /** The factory tweeter on this output no longer plays from the radio. */
  factorySpeakerLosesFeed: z.boolean(),
});

/** Chimes, prompts, cancelling and engine sound: which outputs carry them, and what is done about it. */
export const radioSoundsSchema = z.object({
  ...base,
  kind: z.literal('radio-sounds'),
  sound: z.enum(['announcements', 'engine sound']),
  tapIds: z.array(z.string()),
  /** Of `tapIds`, those that the plan feeds amplifiers from. */
  inUse: z.array(z.string()),
  action: z.enum(['nothing', 'feed from others', 'louder', 'settle first']),
  /** Outputs of the same place and side without them, one for each of `inUse`; empty where there is none. */
  instead: z.array(z.object({ tapId: z.string(), byTapId: z.string() })),
});
