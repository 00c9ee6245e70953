import { z } from 'zod';
import { outputSchema } from '../equipment.ts';
import { measuredOrReasonSchema } from '../measured-schema.ts';
import { reasonSchema } from '../reason.ts';
import { base, setting } from './base.ts';

/** How mains and subwoofer add around their hand-over, each at 0 dB in its own band. */
const handOverSumSchema = z.object({
  atHz: z.number(),
  /** Least and most over half an octave either way, and at the hand-over itself; decibels. */
  asWired: z.object({ leastDb: z.number(), mostDb: z.number(), atCornerDb: z.number() }),
  inverted: z.object({ leastDb: z.number(), mostDb: z.number(), atCornerDb: z.number() }),
  startWith: z.enum(['as wired', 'inverted', 'either']),
  /** Whether the radio's own filters, delays and signs are in it, or the amplifiers' filters alone. */
  basis: z.enum(['radio and filters', 'filters alone']),
});
export type HandOverSum = z.infer<typeof handOverSumSchema>;

export const filterSchema = z.object({
  ...base,
  kind: z.literal('filter'),
  output: outputSchema,
  type: z.enum(['high-pass', 'low-pass']),
  /** `open`: the radio filters there already and the amplifier's is left out; absent is `set`. */
  state: z.enum(['set', 'open']).optional(),
  /** Of the amplifier's filter; where it is left open, of the radio's. */
  cornerHz: z.number(),
  slopeDbPerOctave: z.number(),
  /** False where it is left open and the slope of the radio’s filter is not known. */
  slopeKnown: z.boolean().optional(),
  /** Where the amplifier given cannot do it. */
  shortfall: reasonSchema.nullable(),
  /** Only where it is left open: what the feed loses at a frequency by the radio alone, and with the amplifier's on top. */
  price: z
    .object({
      atHz: z.number(),
      aloneDb: z.number(),
      withSecondDb: z.number(),
      secondHz: z.number(),
      secondSlopeDbPerOctave: z.number(),
    })
    .optional(),
  /** Of the subwoofer's low-pass only. */
  handOver: handOverSumSchema.optional(),
});

/** Bands for a processor that undo the radio's fixed EQ; set before the gains. */
export const equalizerSchema = z.object({
  ...base,
  kind: z.literal('equalizer'),
  output: outputSchema,
  side: z.enum(['left', 'right', 'both']),
  bands: z.array(
    z.object({
      /** Absent is a peak. */
      shape: z.enum(['peak', 'low shelf', 'high shelf']).optional(),
      frequencyHz: z.number(),
      gainDb: z.number(),
      q: z.number(),
    }),
  ),
  /** The most that all bands together add at any frequency: the gains give up as much. */
  headroomDb: z.number().optional(),
  rippleBeforeDb: z.number(),
  rippleAfterDb: z.number(),
});

/** Which feed waits for which, so that all arrive together. */
export const delaySchema = z.object({
  ...base,
  kind: z.literal('delay'),
  /** `converter`: the part given does it; `to order`: no part is given that could; `nothing`: what is given cannot. */
  /** `nothing needed`: too little for a part; `nothing`: the part given cannot. */
  by: z.enum(['converter', 'to order', 'nothing', 'nothing needed']),
  /** Whether the way from the speakers to the seat is counted in, by the distances noted. */
  distancesCounted: z.boolean(),
  feeds: z.array(
    z.object({
      output: outputSchema,
      side: z.enum(['left', 'right', 'both']),
      /** Against the earliest. */
      arrivesSeconds: z.number(),
      delaySeconds: z.number(),
    }),
  ),
  /** Where nothing that is there can delay: the first frequency at which the earliest and the latest cancel, 1/(2d). */
  firstNullHz: z.number().nullable(),
});

/** Levels of the feeds against each other, and what rears and centre are for. */
export const balanceSchema = z.object({
  ...base,
  kind: z.literal('balance'),
  /** Where each starts before it is turned at the seat, against the front. */
  levels: z.array(z.object({ output: outputSchema, againstFrontDb: z.number().nullable() })),
  /** Rears that only fill in; null where none are fed. */
  rearFill: z
    .object({
      levelDb: z.number(),
      bandHz: z.tuple([z.number(), z.number()]),
      delaySeconds: z.tuple([z.number(), z.number()]),
      canDelay: z.boolean(),
    })
    .nullable(),
  centre: z.enum(['not asked for', 'own output', 'stays with the radio', 'no output of its own']),
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
  /** What the reach rests on; absent from older files. */
  counted: z.enum(['travel, power and box', 'travel', 'travel, ported box']).optional(),
  volumeCm3Peak: z.number(),
  targetDb: z.number(),
  /** At 1 m, half space, without the cabin's gain. */
  lowestHzAtTarget: z.number(),
  /** False where the target is reached nowhere with these watts; absent from older files. */
  reachesTarget: z.boolean().optional(),
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
