import { z } from 'zod';
import { chainSchema } from './chain.ts';
import { checkSchema } from './check.ts';
import { doubtSchema } from './doubt.ts';
import { evidenceSchema } from './evidence.ts';
import { findingSchema } from './finding.ts';
import { reasonSchema } from './reason.ts';
import { recommendationSchema } from './recommendation.ts';
import { sessionSchema } from './session.ts';
import { asLeftSchema } from './verification.ts';
import { withReason } from './with-reason.ts';

/** Raised whenever a results file of an older version can no longer be read as it is. */
export const RESULTS_VERSION = 1;

const responseRecordSchema = z.object({
  /** On the frequency grid of the file, decibels; 0 dB is a full-scale sine for a 0 dBFS drive. */
  magnitudeDb: z.array(z.number()),
  phaseDegrees: z.array(z.number()),
  trustedHz: z.tuple([z.number(), z.number()]).nullable(),
});
export type ResponseRecord = z.infer<typeof responseRecordSchema>;

export const ladderRecordSchema = z.object({
  toneHz: z.number(),
  highestHarmonic: z.number(),
  steps: z.array(
    z.object({
      driveDbFs: z.number(),
      levelDbFs: z.number(),
      levelSigmaDb: z.number(),
      harmonics: z.array(z.number()),
      thd: z.number(),
      thdBeforeFilters: z.number().nullable(),
      thdNoise: z.number(),
      peakDbFs: z.number(),
    }),
  ),
});

export type LadderRecord = z.infer<typeof ladderRecordSchema>;

export const measurementRecordSchema = z.object({
  tapId: z.string(),
  setting: z.number(),
  evidence: z.array(evidenceSchema),
  timeOrigin: z.string(),
  left: responseRecordSchema,
  right: responseRecordSchema,
  bothLowDrive: responseRecordSchema.nullable(),
  ladders: z.array(ladderRecordSchema),
  leadInExcessDb: z.number().nullable().optional(),
  noise: z
    .object({
      underQuietToneDbFs: z.number(),
      underQuietToneADbFs: z.number(),
      inSilenceDbFs: z.number(),
      lines: z.array(z.object({ frequencyHz: z.number(), levelDbFs: z.number() })),
      recorderDbFs: z.number().nullable(),
    })
    .nullable(),
  recorder: z.object({
    peakDbFs: z.number(),
    clippedRuns: z.number(),
    dividedOut: z.boolean().optional(),
    dcOffset: z.number(),
    clockPpm: z.number(),
  }),
  voltsPerFullScale: z.object({ volts: z.number(), relativeUncertainty: z.number() }).nullable(),
  supplyVolts: z.number().nullable(),
  repeats: z.object({ count: z.number(), spreadDb: z.number() }),
});
export type MeasurementRecord = z.infer<typeof measurementRecordSchema>;

/** What `analyse` writes: enough to make the report and to plan again years later without the recordings. */
export const resultsSchema = z.object({
  format: z.literal('steptone results'),
  version: z.literal(RESULTS_VERSION),
  toolVersion: z.string(),
  session: sessionSchema,
  frequencyHz: z.array(z.number()),
  measurements: z.array(measurementRecordSchema),
  findings: z.array(findingSchema),
  /** What keeps takes from saying what they seem to say; absent from files of older versions. */
  doubts: z.array(doubtSchema).optional(),
  /** The solved chain that the recommendations read; absent from files of older versions. */
  chain: chainSchema.optional(),
  recommendations: z.array(recommendationSchema),
  /** Recordings left out and repairs, each with the file it is about. */
  notes: z.array(withReason({ file: z.string().nullable(), reason: reasonSchema })),
  /** What was seen of the recordings themselves; absent from files of older versions. */
  checks: checkSchema.optional(),
  inputs: z.array(z.object({ file: z.string(), sha256: z.string(), byteLength: z.number() })),
  /** Volts at every node that was recorded after the install; only `verify` adds them. */
  asLeft: z.array(asLeftSchema).optional(),
});
export type Results = z.infer<typeof resultsSchema>;
