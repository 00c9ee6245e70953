import { z } from 'zod';

const seconds = z.number();
const settings = z.array(z.number());

/** What is to be said of a file and the takes found in it, and why takes can be given no settings. */
export const fileReasons = {
  'header without a length': { seconds },
  'file ends before its header says': { statedSeconds: seconds, seconds },
  'longer than a header can say': { seconds },
  'bytes behind the sound': { seconds },
  'last frame cut off': {},
  'cannot be used': { errorCode: z.string(), message: z.string() },
  'photo too large': { mostMegabytes: z.number() },
  'no photo': {},
  'no second without a knock': {},
  'no whole track': {},
  'another such take is used': { kind: z.string() },
  'seat takes missing': { kinds: z.array(z.string()) },
  'track broken off': { fromSeconds: seconds, toSeconds: seconds },
  'track begun anew': { atSeconds: seconds },
  'no track in the loop take': {},
  'takes of one setting differ': { setting: z.number(), takes: z.number(), spreadDb: z.number() },
  'two settings of one level': { settings },
  'matched by level': {
    planned: settings,
    countFits: z.boolean(),
    takes: z.array(z.object({ setting: z.number().nullable(), atSeconds: seconds })),
  },
  'level not steady within a take': {},
  'no level is that of a setting': {},
  'two levels for one setting': {},
  'too few levels': { levels: z.number(), settings: z.number() },
  'too many pairings': { levels: z.number(), settings: z.number() },
  'no even volume law': {},
  'levels fit two readings': {
    one: z.array(z.number().nullable()),
    other: z.array(z.number().nullable()),
  },
} as const satisfies Record<string, z.ZodRawShape>;
