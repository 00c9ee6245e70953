import { z } from 'zod';
import { reasonSchema } from '../reason.ts';

/**
 * What to do about the findings, in the order of work. `restsOn` names the findings that a recommendation follows from,
 * `reasons` say why in plain words, the rest is data.
 */
export const base = {
  id: z.string(),
  order: z.number().int(),
  restsOn: z.array(z.string()),
  reasons: z.array(reasonSchema),
};
export const setting = z.number();
