import { z } from 'zod';

/** Why gains are as they are, or why there are none. */
export const gainReasons = {
  'no setting is clean': { settings: z.array(z.number()) },
} as const satisfies Record<string, z.ZodRawShape>;
