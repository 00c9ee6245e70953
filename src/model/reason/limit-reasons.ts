import { z } from 'zod';

const limitedBy = z.enum(['the converter', '12 dB', 'headroom', 'cone travel']);

/** What cannot be done, what binds, the nearest that can be had and what else would do it. */
export const limitReasons = {
  'bass restored in full': {},
  'restoration is limited by': { limitedBy, mostDb: z.number() },
  'bass that stays missing': { amountDb: z.number(), missingDb: z.number(), setting: z.number() },
  'nearest restoration': { limitedBy },
  'a part that restores more': { limitedBy, mostDb: z.number() },
  'an even feed for': {
    output: z.enum(['front', 'rear', 'centre', 'subwoofer']),
    side: z.enum(['left', 'right', 'both']),
  },
  'taps work against each other': { dipDb: z.number(), hz: z.number() },
  'the feed as listed': {},
  'a digital processor with delay': {},
  'the plan with': { name: z.string() },
  'listed with each setting': {},
  'a converter of the class': { converterClass: z.string() },
  'volume control on': { tapIds: z.array(z.string()) },
  'a level of its own': {},
  'a level control of its own': {},
} as const satisfies Record<string, z.ZodRawShape>;
