import { z } from 'zod';

const settings = z.array(z.number());

/** What stands against a take, a setting or a tap. */
export const doubtReasons = {
  'settings exchanged': { settings },
  'level fits no neighbour': { settings },
  'outputs exchanged': { tapIds: z.array(z.string()), settings },
  'samples lost': { file: z.string(), atSeconds: z.number() },
  'take cut off': { file: z.string(), atSeconds: z.number() },
  'full-scale samples in a sweep': { file: z.string(), settings },
  'knock in a sweep': { file: z.string(), atSeconds: z.number() },
  'same recording twice': { files: z.array(z.string()) },
  'listed and not read': { settings },
  'another band than at other settings': { settings },
  'opposite polarity to other settings': { settings },
  'arrival differs between settings': { settings, microseconds: z.number() },
  'level off the line of its neighbours': { settings, offDb: z.number() },
  'tone differs from its neighbours': {
    settings,
    atHz: z.number(),
    offDb: z.number(),
    fromThereUp: z.boolean(),
  },
  'level jumps on all taps': { below: z.number(), above: z.number(), jumpDb: z.number() },
  'gain follows the level by itself': {},
  'heard by a microphone': {},
  'recorder may be what clips': {},
  'radio or recorder loses the low end': {},
} as const satisfies Record<string, z.ZodRawShape>;
