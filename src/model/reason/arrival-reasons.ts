import { z } from 'zod';

const tapId = z.string();

/** Why a tap's delay or its polarity is not told. */
export const arrivalReasons = {
  'no common time zero': {},
  'filters disagree on the sign': { tapId },
  'half a period fits with the other sign': { tapId },
  'phase follows no filter and delay': { tapId },
  'filters leave the arrival uncertain': { plusMinusSeconds: z.number() },
  'filters and their delay not told apart': {},
} as const satisfies Record<string, z.ZodRawShape>;
