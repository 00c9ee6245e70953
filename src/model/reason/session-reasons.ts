import { z } from 'zod';

const settings = z.array(z.number());

/** What had to be assumed of a session, and what its controls do to every response. */
export const sessionReasons = {
  /** No file is named for these settings. */
  'settings by the names of files': { missing: settings },
  /** These stand in file names and not among the settings listed. */
  'more settings in the names of files': { settings },
  'settings by the order of names': {
    first: z.object({ file: z.string(), setting: z.number() }),
    last: z.object({ file: z.string(), setting: z.number() }),
  },
  'no file of this name': { pattern: z.string() },
  'reference not in every file': { tapId: z.string(), files: z.array(z.string()) },
  'controls at centre': {},
  'controls off centre': { controls: z.array(z.object({ control: z.string(), steps: z.number() })) },
} as const satisfies Record<string, z.ZodRawShape>;
