import { z } from 'zod';
import { reasonSchema } from './reason.ts';
import { verifiesSchema } from './session.ts';

/** Raised whenever a verification file of an older version can no longer be read as it is. */
export const VERIFICATION_VERSION = 1;

/** What is set by hand in an install, and what is wired by hand. */
const knobSchema = z.enum([
  'converter level',
  'amplifier gain',
  'bass restoration',
  'high-pass',
  'low-pass',
  'equalizer or bass control',
  'polarity',
  'delay',
  'wiring',
  'ground',
]);
export type Knob = z.infer<typeof knobSchema>;

/** One thing held against the plan. */
export const proofSchema = z.object({
  what: z.enum([
    'wiring',
    'level',
    'restoration',
    'filter',
    'bass',
    'flatness',
    'polarity',
    'clipping',
    'noise',
    'left against right',
  ]),
  verdict: z.enum(['pass', 'fail', 'not told']),
  /** Null where it is judged over all settings. */
  setting: z.number().nullable(),
  expected: z.number().nullable(),
  found: z.number().nullable(),
  unit: z.enum(['dB', 'Hz', 'V RMS', 'dBFS of drive', 'microseconds', 'none']),
  /** In decibels, but for filters (a ratio) and delays (microseconds). */
  tolerance: z.number().nullable(),
  /** What to turn or to change where it fails. */
  knob: knobSchema.nullable(),
  /** What was found and, where it fails, what to do. */
  text: reasonSchema,
});
export type Proof = z.infer<typeof proofSchema>;

/** What a meter reads for a full-scale tone at one place, as the install was left. */
export const asLeftSchema = z.object({
  feedId: z.string(),
  node: verifiesSchema.shape.node.unwrap(),
  restoration: z.enum(['on', 'off', 'none']),
  setting: z.number(),
  toneHz: z.number(),
  voltsRms: z.number(),
});
export type AsLeft = z.infer<typeof asLeftSchema>;

const verifiedFeedSchema = z.object({
  tapId: z.string(),
  feedId: z.string(),
  output: z.string(),
  side: z.string(),
  node: verifiesSchema.shape.node.unwrap(),
  restoration: z.enum(['on', 'off', 'none']),
  settings: z.array(z.number()),
  proofs: z.array(proofSchema),
  asLeft: z.array(asLeftSchema),
  /**
   * Decibels against the middle of the feed's planned band at each setting, on `frequencyHz`: before (the plan's taps as
   * the converter takes them), planned and after. `after` is null where the recording is not trusted.
   */
  frequencyHz: z.array(z.number()),
  curves: z.array(
    z.object({
      setting: z.number(),
      beforeDb: z.array(z.number()),
      plannedDb: z.array(z.number()),
      afterDb: z.array(z.number().nullable()),
    }),
  ),
});
export type VerifiedFeed = z.infer<typeof verifiedFeedSchema>;

/** What `verify` writes: the install as it was left, held against the plan. */
export const verificationSchema = z.object({
  format: z.literal('steptone verification'),
  version: z.literal(VERIFICATION_VERSION),
  toolVersion: z.string(),
  name: z.string(),
  passes: z.boolean(),
  feeds: z.array(verifiedFeedSchema),
  /** Feeds of the plan that no recording shows. */
  notRecorded: z.array(z.string()),
  /** In the order of work, each knob of a feed once. */
  turn: z.array(z.object({ feedId: z.string(), knob: knobSchema, text: reasonSchema })),
  notes: z.array(
    z.preprocess(
      (value) => (typeof value === 'string' ? { file: null, reason: value } : value),
      z.object({ file: z.string().nullable(), reason: reasonSchema }),
    ),
  ),
  /** The plan and the recordings. */
  inputs: z.array(z.object({ file: z.string(), sha256: z.string(), byteLength: z.number() })),
});
export type Verification = z.infer<typeof verificationSchema>;
