import { z } from 'zod';

const setting = z.number();

/** Which take is to be made next, and what it would settle. */
export const nextTakeReasons = {
  'measure across the pair or correct the pad': {},
  'record these settings': { settings: z.array(setting) },
  'record a setting again with less noise': { setting },
  'record a setting above': { setting },
  'record the loop take': {},
  'record with a larger pad': {},
  'record a setting to prove it': { setting },
  'no volts until settled': {},
  'recorded one after the other': { feedId: z.string(), dipDb: z.number() },
  'noise hides clipping above': { setting },
  'nothing clipped up to': { setting },
  'most boosted is louder than any tone': { setting },
  'bass falls somewhere between': { lastIntact: setting, firstChanged: setting },
  'recorder may lose the lowest bass': {},
  'recorder’s input may clip': {},
  'clean by the volume law': { setting },
  'before planning again': {},
} as const satisfies Record<string, z.ZodRawShape>;
