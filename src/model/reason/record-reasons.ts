import { z } from 'zod';

/** What to record so that something can be told. */
export const recordReasons = {
  'record with less noise': {},
  'record louder or with less noise': {},
  'record without other sounds': {},
  'record with the recorder turned down': {},
  'record with EQ and tone flat': {},
  'record a linking take': {},
  'record a loop take': {},
  'record without automatic gain': {},
  'record at the output itself': {},
  'record a calibration tone': {},
  'record settings': { settings: z.array(z.number()) },
} as const satisfies Record<string, z.ZodRawShape>;
