import { z } from 'zod';

/** Why bass is put back, or not, and what limits it. */
export const restorationReasons = {
  'bass keeps with the rest': {},
  'loss too small to hear': {},
  'no tap to hold the bass against': {},
  'radio takes bass away': {},
  'factory speakers keep the cut': {},
  'mains keep the cut': {},
  'a fixed boost fits one setting': {},
  'set gains with restoration off': {},
  'loss is at least this': { db: z.number(), atHz: z.number(), from: z.number(), to: z.number() },
  'full only up to a setting': { setting: z.number(), mostDb: z.number() },
  'boost reaches down to': { mostDb: z.number(), hz: z.number(), setting: z.number() },
  'stay below or tap ahead': { setting: z.number() },
  'a limiter holds the bass': { tapId: z.string() },
  'no converter before the loss is known': {},
} as const satisfies Record<string, z.ZodRawShape>;
