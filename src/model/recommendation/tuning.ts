import { z } from 'zod';
import { outputSchema } from '../equipment.ts';
import { measuredOrReasonSchema } from '../measured-schema.ts';
import { base, setting } from './base.ts';

export const filterSchema = z.object({
  ...base,
  kind: z.literal('filter'),
  output: outputSchema,
  type: z.enum(['high-pass', 'low-pass']),
  /** `open`: the radio's own filter does it, the amplifier's stays out; absent from older files. */
  state: z.enum(['set', 'open']).optional(),
  cornerHz: z.number(),
  slopeDbPerOctave: z.number(),
  /** Where the amplifier given cannot do it. */
  shortfall: z.string().nullable(),
});

/** Bands for a processor that undo the radio's fixed EQ. */
export const equalizerSchema = z.object({
  ...base,
  kind: z.literal('equalizer'),
  output: outputSchema,
  side: z.enum(['left', 'right', 'both']),
  bands: z.array(z.object({ frequencyHz: z.number(), gainDb: z.number(), q: z.number() })),
  rippleBeforeDb: z.number(),
  rippleAfterDb: z.number(),
});

/** How the subwoofer feed's level keeps with the mains as the volume goes up. */
export const subwooferLawSchema = z.object({
  ...base,
  kind: z.literal('subwoofer-law'),
  verdict: z.enum(['keeps with the mains', 'falls behind', 'runs off']),
  perSetting: z.array(z.object({ setting, againstMainsDb: z.number() })),
});

/** What the woofer can do, said before it is bought. */
export const bassReachSchema = z.object({
  ...base,
  kind: z.literal('bass-reach'),
  woofer: z.string(),
  volumeCm3Peak: z.number(),
  targetDb: z.number(),
  /** At 1 m, half space, without the cabin's gain. */
  lowestHzAtTarget: z.number(),
  box: z
    .object({ resonanceHz: z.number(), q: z.number(), minus3Hz: z.number(), peakDb: z.number() })
    .nullable(),
  limits: z.array(z.object({ frequencyHz: z.number(), travelLimitedDb: z.number() })),
  /** At full output the cone runs out of travel below this; absent where the amplifier ends first, or it cannot be told. */
  travelLimitsBelowHz: z.number().optional(),
  felt: z.boolean(),
});

export const seatSchema = z.object({
  ...base,
  kind: z.literal('seat'),
  polarity: z.enum(['as wired', 'inverted', 'no difference', 'cannot be told']),
  handOverHz: z.number(),
  levelSubwooferAgainstMainsDb: z.number(),
  /** Of the angle between sub and mains, 0 to 180 degrees, at the hand-over. */
  phaseDegrees: measuredOrReasonSchema,
  gainFromInvertingDb: z.number().nullable(),
  /** To add to the subwoofer's level, so that both are equal at the corner of their filters; absent where it is right. */
  trimDb: z.number().optional(),
});
