import { z } from 'zod';
import { doubtSchema } from './doubt.ts';
import { evidenceSchema } from './evidence.ts';

/** What every finding has. */
export const findingBase = {
  id: z.string(),
  tapIds: z.array(z.string()).min(1),
  evidence: z.array(evidenceSchema),
  /** What touches the takes that it rests on, or would rest on; left out where nothing does. */
  doubts: z.array(doubtSchema).optional(),
};
