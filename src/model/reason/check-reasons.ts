import { z } from 'zod';

const setting = z.number();
const lines = z.array(z.object({ engine: z.string(), fundamentalHz: z.number() }));
const bracket = { lastIntact: setting, firstChanged: setting };

/** What the recordings say so far, what to record next and why, what to look at, and what keeps the dash open. */
export const checkReasons = {
  'no usable take': {},
  'take not read': { files: z.array(z.string()) },
  'too few settings': { count: z.number() },
  'bass cannot be judged yet': {},
  'bass needs a full-range output beside it': {},
  'limiter or volume not known without the full track': {},
  'clipping and noise not known without the full track': {},
  'bass differs from another output': { tapIds: z.array(z.string()), differsDb: z.number() },
  'arrivals do not compare': { tapIds: z.array(z.string()), withTapIds: z.array(z.string()) },
  'bass begins to fall between': bracket,
  'clipping begins between': { clean: setting, clips: setting },
  'recorder may lose bass': {},
  'recorder may clip': {},
  'volts withheld until settled': {},

  'full range': {},
  'band not known': {},
  'band-limited': { fromHz: z.number().nullable(), toHz: z.number().nullable() },
  'does not follow the volume': {},
  'bass lifted up to': { setting },
  'bass steady': {},
  'bass steady up to': { setting, notRead: z.array(setting) },
  'bass falls': {
    ...bracket,
    most: z.object({ db: z.number(), atHz: z.number(), setting }).nullable(),
  },
  'bass not known yet': {},
  'bass alike': { low: setting, high: setting },
  'bass differs': {
    atHz: z.number(),
    changeDb: z.number(),
    low: setting,
    high: setting,
    notKnown: z.enum(['from where on', 'by the volume or a limiter']),
  },
  'limiter holds bass': {},
  'clipping not recorded': {},
  'clips between': { clean: setting, clips: setting, mayBeRecorder: z.boolean() },
  'clips at the lowest': { setting, mayBeRecorder: z.boolean() },
  'clipping not known': {},
  'clean up to': { setting, isHighest: z.boolean(), notRead: z.array(setting) },
  'inverted against': { tapId: z.string() },
  'later than': { tapId: z.string(), seconds: z.number() },
  'heard in the air alone': {},
  'nothing carried': {},
  'nothing settled': {},

  'one side louder': { quietTapId: z.string(), db: z.number(), control: z.enum(['balance', 'fade']) },
  'balance off centre': { quietTapId: z.string(), db: z.number() },
  'tone off centre': { end: z.enum(['bass', 'treble']), db: z.number(), lift: z.boolean() },
  'tones follow the engine': { lines, atVolumeZero: z.boolean() },
  'alternator whine': { lines },
  'hum common to all outputs': { mainsHz: z.number() },
  'muted in silence': {},
  'one channel at a time': {},
  'no calibration': {},
} as const satisfies Record<string, z.ZodRawShape>;
