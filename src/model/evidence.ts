import { z } from 'zod';

/** Where a number comes from: file, channel (counted from 1), setting and the time of the take's start in the file. */
export const evidenceSchema = z.object({
  file: z.string(),
  channel: z.number().int().min(1),
  /** Null for a take that was made at none, as some of noise are. */
  setting: z.number().nullable(),
  takeStartSeconds: z.number(),
});
export type Evidence = z.infer<typeof evidenceSchema>;
