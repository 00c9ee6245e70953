import { z } from 'zod';

/** About another source than the one that the takes were played from. */
export const sourceReasons = {
  'no take beside it': { settings: z.array(z.number()) },
  'source moves its level': {},
  'other source compared': {
    source: z.string(),
    than: z.string(),
    /** Positive where it is louder; null where it cannot be told. */
    levelDb: z.number().nullable(),
    ceilingHz: z.number().nullable(),
    movesDb: z.number().nullable(),
  },
} as const satisfies Record<string, z.ZodRawShape>;
