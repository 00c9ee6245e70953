import { z } from 'zod';
import { measuredSchema } from './measured-schema.ts';
import { reasonSchema } from './reason.ts';
import { withReason } from './with-reason.ts';

/** What was seen of one channel of one take: the recorder, the wiring and what happened meanwhile, not the radio. */
const channelFactsSchema = z.object({
  tapId: z.string(),
  /** Counted from 1. */
  channel: z.number().int().min(1),
  /** Median response where it is trusted, 0 dBFS drive, dBFS of the recording; null for a channel that carries nothing. */
  levelDbFs: z.number().nullable(),
  peakDbFs: z.number(),
  /** Up to where the stronger programme stands clear of the noise; null for a channel that carries nothing. */
  upToHz: z.number().nullable().optional(),
  /** The stronger programme's response against its noise where it stands out most, decibels. */
  clearDb: z.number().nullable().optional(),
  /** Runs of samples at the recorder's own full scale, and the lowest ladder drive at which there are some. */
  clippedRuns: z.number().int(),
  clippedFromDriveDbFs: z.number().nullable(),
  /** Those runs that lie within the sweeps; left out where none does. */
  sweepsClipped: z.number().int().optional(),
  /** From the opening to the closing sweep, decibels; null where the channel carries nothing. */
  gainChangeDb: measuredSchema.nullable(),
  /** How far the 997 Hz ladder's steps stand from one gain where nothing clips, decibels; null without a ladder. */
  ladderSpreadDb: z.number().nullable(),
  /** By how much the quiet lead-in came through louder than the sweeps say, decibels; null where noise hides it. */
  leadInExcessDb: z.number().nullable().optional(),
  /** Ladders that are louder or quieter throughout than the low sweep says; left out where none is. */
  tonesAgainstSweep: z.array(z.object({ toneHz: z.number(), differsDb: z.number() })).optional(),
  dcOffset: z.number(),
  /** Under the quiet tone, 20 Hz to 20 kHz; null for the response-only track. */
  noiseDbFs: z.number().nullable(),
  carries: z.enum(['left', 'right', 'left and right', 'difference', 'nothing']),
  /** Another channel of the same file that holds the same signal, noise included. */
  sameAsTapId: z.string().nullable(),
  /** Every sample between two sweeps is the same: gated, or rounded too coarsely to hold noise; left out where that is not so. */
  isStill: z.boolean().optional(),
  /** The first sweep was muted or fading in up to here. */
  mutedUpToHz: z.number().nullable(),
  knocks: z.array(
    z.object({
      section: z.string(),
      atSeconds: z.number(),
      spoiltHz: z.tuple([z.number(), z.number()]).readonly().nullable(),
    }),
  ),
  /** Chimes, voice prompts and talk, seconds of the recording; left out where there are none. */
  announcements: z
    .array(
      z.object({
        fromSeconds: z.number(),
        toSeconds: z.number(),
        /** Sections that it covers any of. */
        sections: z.array(z.string()),
      }),
    )
    .optional(),
});
export type ChannelFacts = z.infer<typeof channelFactsSchema>;

const takeFactsSchema = z.object({
  file: z.string(),
  /** Null where it could not be told; the take is then not used. */
  setting: z.number().nullable(),
  takeStartSeconds: z.number(),
  track: z.enum(['full', 'response only']),
  /** Sweeps that were not heard on any channel. */
  missingSections: z.array(z.string()),
  clockPpm: measuredSchema.nullable(),
  /** Samples that were lost (negative) or doubled between two sections, null where it is not known how many; left out where time runs evenly. */
  timeSlip: z
    .object({ after: z.string(), before: z.string(), milliseconds: z.number().nullable() })
    .optional(),
  /** Sweeps whose phases fit no repetition of them; left out where there are none. */
  tornSections: z.array(z.string()).optional(),
  /** Samples of the file that no recorder makes, which were mended; left out where there are none. */
  wild: z.object({ count: z.number().int(), atSeconds: z.number() }).optional(),
  /** An earlier take that holds the same samples; left out where none does. */
  sameAs: z.object({ file: z.string(), atSeconds: z.number(), setting: z.number().nullable() }).optional(),
  channels: z.array(channelFactsSchema),
});
export type TakeFacts = z.infer<typeof takeFactsSchema>;

const remarkSchema = withReason({
  /**
   * `record again`: the take does not serve its purpose. `settle`: something about the wiring or the notes has to be
   * looked at while the dash is open. `note`: worth knowing.
   */
  weight: z.enum(['record again', 'settle', 'note']),
  /** Empty where it is about all of the take. */
  tapIds: z.array(z.string()),
  reason: reasonSchema,
});
export type Remark = z.infer<typeof remarkSchema>;

/** Something said of taps, at some settings or (none named) of all that was recorded. */
const statementSchema = z.object({
  tapIds: z.array(z.string()),
  settings: z.array(z.number()),
  reason: reasonSchema,
  /** What is behind it, where another reason says it. */
  because: reasonSchema.nullable().optional(),
});
export type Statement = z.infer<typeof statementSchema>;
/** A sentence where an older results file has one. */
const statementOrSentenceSchema = z.preprocess(
  (value) => (typeof value === 'string' ? { tapIds: [], settings: [], reason: value } : value),
  statementSchema,
);

const takeToRecordSchema = z.object({
  tapIds: z.array(z.string()),
  settings: z.array(z.number()),
  why: reasonSchema,
  /** What is behind it, where another reason says it. */
  because: reasonSchema.nullable().optional(),
  /** The dash stays open until this is recorded. */
  needed: z.boolean(),
});
export type TakeToRecord = z.infer<typeof takeToRecordSchema>;

/** Whether what was recorded is usable and enough, while the dash is still open. */
export const checkSchema = z.object({
  /** What is known of the radio by now, a few reasons for taps of which the same is known. */
  soFar: z
    .array(
      z.preprocess(
        (value) =>
          typeof value === 'object' && value !== null && 'text' in value && 'tapIds' in value
            ? { tapIds: value.tapIds, known: [value.text] }
            : value,
        z.object({ tapIds: z.array(z.string()), known: z.array(reasonSchema) }),
      ),
    )
    .default([]),
  takes: z.array(z.object({ facts: takeFactsSchema, remarks: z.array(remarkSchema) })),
  /** Files that could not be used, tracks that were broken off, settings that had to be assumed. */
  files: z.array(withReason({ file: z.string(), left: z.boolean(), reason: reasonSchema })),
  /** Settings of the session at which a tap has no usable take. */
  missing: z.array(z.object({ tapId: z.string(), settings: z.array(z.number()) })),
  recordNext: z.array(takeToRecordSchema),
  /** Worth a look at the car or the notes, but no reason to keep the dash open. */
  notes: z.array(statementOrSentenceSchema).default([]),
  mayCloseDash: z.boolean(),
  /** What stands against it. */
  reasons: z.array(statementOrSentenceSchema),
});
export type Check = z.infer<typeof checkSchema>;
