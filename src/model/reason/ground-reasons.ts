import { z } from 'zod';

const places = z.array(z.object({ engine: z.enum(['off', 'idle', 'fast']), hz: z.number() }));

/** What kind of noise was found, and what is done about it. */
export const groundReasons = {
  'an even floor': {},
  'lines at mains multiples': {},
  'a comb with the engine': {},
  'low tones with the engine': {},
  'lines that are no mains multiples': {},
  'recorder noise was measured': {},
  'lines move with the engine': { places },
  'lines come with the engine': { places },
  'lines at volume zero': {},
  'converter hot, gain low': {},
  'leave no channel open': {},
  'noise takes on the battery': {},
  'isolated inputs if it stays': {},
  'one ground point': {},
  'signal leads away from supply': {},
  'differential inputs if it stays': {},
  'record at two engine speeds': {},
  'settle noise cancelling': {},
  'compare which lines move': {},
  'reduce the pad’s loss': {},
  'judge noise under music': {},
} as const satisfies Record<string, z.ZodRawShape>;
