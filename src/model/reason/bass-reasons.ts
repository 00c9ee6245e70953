import { z } from 'zod';

const setting = z.number();

/** Why the bass against the volume, or a limiter in it, is not told. */
export const bassReasons = {
  'sweep spoilt and none at a lower drive': {},
  'clips at the low-drive sweep': {},
  'gain changed during the take': {},
  'no setting usable': {},
  'no bass to judge': {},
  'no middle at this setting': {},
  'no full-range tap beside it': {},
  'too few settings for a plateau': { count: z.number() },
  'no three settings agree': {},
  'two ranges hold at different bass': {},
  'one drive only': {},
  'all bass falls alike': { referenceTapId: z.string() },
  'bass stands against the rest': { setting },
  'bass lower at one setting only': { setting },
  'one take alone shows the cut': { settings: z.array(setting), lossDb: z.number() },
  'bass in the noise': { setting },
  'noise hides a change of 2 dB': {},
  'bass not clear of the noise': {},
  'plateau not clear of the noise': {},
  'steady only so far': { upToSetting: setting, openSettings: z.array(setting) },
  'bass follows the drive': {},
  'shelf and high-pass both fit': {},
  'shelf fits alone': {},
  'high-pass fits alone': {},
} as const satisfies Record<string, z.ZodRawShape>;
