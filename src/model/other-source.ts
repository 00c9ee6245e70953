import { z } from 'zod';
import { findingBase } from './finding-base.ts';
import { measuredOrReasonSchema } from './measured-schema.ts';

/** Another source (a phone, a wireless link) held against the one that the session was recorded from. */
export const otherSourceSchema = z.object({
  ...findingBase,
  kind: z.literal('other-source'),
  source: z.string(),
  comparedWith: z.string(),
  /** At which both were recorded. */
  settings: z.array(z.number()),
  /** For the same drive, positive where this one is louder. */
  levelDb: measuredOrReasonSchema,
  /** Where its treble breaks off below that of the other: a lossy file or link; null where it does not. */
  ceilingHz: z.number().nullable(),
  /** Where its tone differs most beside the level; null where it does not. */
  tone: z.object({ frequencyHz: z.number(), differsDb: z.number() }).nullable(),
  /** By how much its level moves by itself within a take; null where it holds still. */
  movesDb: z.number().nullable(),
  /** The lowest setting and drive at which it clips while the radio does not; null where it never does. */
  clip: z.object({ setting: z.number(), driveDbFs: z.number() }).nullable(),
});
