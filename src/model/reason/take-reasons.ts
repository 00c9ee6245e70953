import { z } from 'zod';

const band = z.tuple([z.number(), z.number()]).readonly();
const sections = z.array(z.string());
const carries = z.enum(['left', 'right', 'left and right', 'difference', 'nothing']);

/** What is to be said of one take, or of one channel of it: recorder, wiring, and what happened meanwhile. */
export const takeReasons = {
  'recorder clipped in a sweep': { times: z.number() },
  'recorder clipped on the ladder': { fromDriveDbFs: z.number() },
  'little headroom': { headroomDb: z.number() },
  'low level': { peakDbFs: z.number() },
  'little above the noise': { snrDb: z.number() },
  'offset at the recorder': { percent: z.number() },
  'gain changed within the take': { changeDb: z.number() },
  'gain differs along the ladder': { spreadDb: z.number() },
  'gain follows the level': {},
  'tone does not follow the sweeps': { toneHz: z.number(), differsDb: z.number() },
  'muted at the start': { upToHz: z.number() },
  'fading in under the sweep': { upToHz: z.number() },
  'fading in under the lead-in': { lacksDb: z.number() },
  knock: { section: z.string(), atSeconds: z.number(), spoiltHz: band.nullable() },
  'chime or voice': { sections, fromSeconds: z.number(), toSeconds: z.number() },
  'nothing on this channel': {},
  'silent to the last bit': {},
  'same signal as another output': { tapId: z.string() },
  'carries another side': { noted: z.string(), carries },
  'channels swapped': { tapId: z.string(), otherTapId: z.string(), carries, otherCarries: carries },
  'sections not heard': { sections },
  'stopped early': { sections },
  'samples lost or added': {
    after: z.string(),
    before: z.string(),
    milliseconds: z.number().nullable(),
  },
  'sweeps contradict each other': { section: z.string() },
  'samples that no recorder makes': { count: z.number(), atSeconds: z.number() },
  'ends lower than a quieter take': { upToHz: z.number(), otherUpToHz: z.number(), file: z.string() },
  'every take has one peak': { peakDbFs: z.number() },
  'clocks not compared': {},
  'clocks far apart': { ppm: z.number() },
  'averaged with an earlier take': { file: z.string(), atSeconds: z.number() },
  'differs from an earlier take': { file: z.string(), atSeconds: z.number(), differsDb: z.number() },
  'same samples as another take': { file: z.string(), atSeconds: z.number() },
} as const satisfies Record<string, z.ZodRawShape>;
