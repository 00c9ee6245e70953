import { z } from 'zod';
import { outputSchema, turnOnSchema } from './equipment.ts';
import { measuredOrReasonSchema } from './measured.ts';

/**
 * What to do about the findings, in the order of work. `restsOn` names the findings that a recommendation follows from,
 * `reasons` say why in plain words, the rest is data.
 */
const base = {
  id: z.string(),
  order: z.number().int(),
  restsOn: z.array(z.string()),
  reasons: z.array(z.string()),
};
const setting = z.number();

/** What to buy before anything is set, or that nothing is needed. */
export const orderSchema = z.object({
  ...base,
  kind: z.literal('order'),
  /** Whether the parts given (or a plain amplifier with speaker-level inputs) do the job as they are. */
  nothingToOrder: z.boolean(),
  converterClass: z.enum(['none', 'gain only', 'summing', 'summing with restoration', 'digital processor']),
  inputs: z.number().int(),
  /** Most that a tap in use gives while the radio is clean, at its most boosted frequency. */
  worstInputVoltsRms: measuredOrReasonSchema,
  /** The same with the margin: what an input must be rated for. */
  inputRatingVoltsRms: measuredOrReasonSchema,
  summing: z.boolean(),
  delay: z.boolean(),
  restorationDb: z.number(),
  /** What has to stay connected to the factory outputs. */
  load: z.string(),
  turnOn: turnOnSchema,
  /** Of the parts given: the one that was judged and where it falls short. */
  given: z.object({ name: z.string(), shortfalls: z.array(z.string()) }).nullable(),
});

export const feedTapSchema = z.object({
  tapId: z.string(),
  polarity: z.enum(['as wired', 'inverted']),
  trimDb: z.number(),
  delaySeconds: z.number(),
});
export type FeedTap = z.infer<typeof feedTapSchema>;

/** How even a sum is, in one programme. */
export const flatnessSchema = z.object({
  /** Highest less lowest within `bandHz`, third-octave smoothing not applied. */
  rippleDb: z.number(),
  /** Deepest cancellation: the sum against the same taps adding without any. */
  worstDipDb: z.number(),
  worstDipHz: z.number(),
  /** Where the sum stays within 6 dB of its middle; null where it carries nothing. */
  bandHz: z.tuple([z.number(), z.number()]).nullable(),
  /** Level in its band against programme on both sides. */
  levelDb: z.number(),
});
export type Flatness = z.infer<typeof flatnessSchema>;

/** Where the taps were not recorded together: everything between these may be true. */
export const unknownTimingSchema = z.object({
  bestDipDb: z.number(),
  worstDipDb: z.number(),
  atHz: z.number(),
  recordNext: z.string(),
});

export const feedSchema = z.object({
  ...base,
  kind: z.literal('feed'),
  output: outputSchema,
  side: z.enum(['left', 'right', 'both']),
  taps: z.array(feedTapSchema),
  summed: z.boolean(),
  /** Setting whose responses were added. */
  setting,
  /** Null where timing is unknown; `unknownTiming` then holds what can be said. */
  programmes: z.object({ left: flatnessSchema, right: flatnessSchema, both: flatnessSchema }).nullable(),
  unknownTiming: unknownTimingSchema.nullable(),
  /** Programme of the other side below programme of this one; null for the subwoofer. */
  separationDb: z.number().nullable(),
  /** Sum on the frequency grid, decibels as the taps' responses; the programme is `side`. Null where timing is unknown. */
  sumDb: z.array(z.number()).nullable(),
  /** Ripple at every setting at which all the taps were recorded. */
  atSettings: z.array(z.object({ setting, rippleDb: z.number() })),
  /** What the customer no longer has: fade, balance, stereo. */
  lost: z.array(z.string()),
  /** Best first. */
  runnersUp: z.array(
    z.object({
      taps: z.array(feedTapSchema),
      rippleDb: z.number(),
      worstDipDb: z.number(),
      bandHz: z.tuple([z.number(), z.number()]).nullable(),
      lostBecause: z.string(),
    }),
  ),
});

export const restorationSchema = z.object({
  ...base,
  kind: z.literal('restoration'),
  output: z.literal('subwoofer'),
  tapIds: z.array(z.string()),
  verdict: z.enum(['none needed', 'restore', 'cannot be told']),
  /** Highest recorded setting that needs none. */
  fromSetting: setting.nullable(),
  /** At the highest clean setting, at `atHz`. */
  amountDb: z.number(),
  atHz: z.number(),
  toSetting: setting.nullable(),
  frequencyHz: z.array(z.number()),
  /** One value for each of `frequencyHz`; `residualDb` is negative where bass stays missing. */
  settings: z.array(
    z.object({
      setting,
      neededDb: z.array(z.number()),
      boostDb: z.array(z.number()),
      residualDb: z.array(z.number()),
    }),
  ),
  /** The shelf that comes nearest, where the data fit one. */
  shelf: z.object({ frequencyHz: z.number(), gainDb: z.number() }).nullable(),
  limitedBy: z.enum(['nothing', 'the converter', '12 dB', 'headroom', 'cone travel']),
  /** What no boost brings back, such as what a limiter holds. */
  impossible: z.array(z.string()),
});

export const highestCleanSettingSchema = z.object({
  ...base,
  kind: z.literal('highest-clean-setting'),
  /** Worst of the taps in use; null where it cannot be told. */
  recorded: setting.nullable(),
  firstClippingRecorded: setting.nullable(),
  /** Between recorded settings, by the volume law. */
  computed: setting.nullable(),
  limitingTapId: z.string().nullable(),
  atHz: z.number().nullable(),
  /** Of the limiting tap at `recorded`, 0 dBFS at `atHz`. */
  voltsRms: measuredOrReasonSchema,
  /** Of the limiting tap at the 1 kHz region, 0 dBFS. */
  midBandVoltsRms: measuredOrReasonSchema,
  basis: z.string(),
});

/** What a meter reads when the knob is right. */
export const targetSchema = z.object({
  toneHz: z.number(),
  driveDbFs: z.number(),
  setting,
  restoration: z.enum(['off', 'on', 'none']),
  voltsRms: measuredOrReasonSchema,
  /** Power into the load at that reading; null at line level. */
  watts: z.number().nullable(),
  /** The reading to set the knob by; the others check it. */
  setBy: z.boolean(),
  /** A stage is past its limit at this tone: do not play it. */
  overLimit: z.boolean(),
});
export type Target = z.infer<typeof targetSchema>;

export const converterLevelSchema = z.object({
  ...base,
  kind: z.literal('converter-level'),
  output: outputSchema,
  /** From the volts of the strongest tap of the feed to the converter's output, mid band, restoration off. */
  gainDb: measuredOrReasonSchema,
  outputVoltsRms: z.number(),
  outputLimitVoltsRms: z.number(),
  limitAssumed: z.boolean(),
  worstHz: z.number().nullable(),
  tolerancePercent: z.number(),
  targets: z.array(targetSchema),
});

export const amplifierGainSchema = z.object({
  ...base,
  kind: z.literal('amplifier-gain'),
  output: outputSchema,
  amplifier: z.string(),
  wattsAtLoad: z.number(),
  loadOhms: z.number(),
  fullOutputVoltsRms: z.number(),
  gainOverlapDb: z.number(),
  /** Input volts for full output at which the knob belongs. */
  sensitivityVoltsRms: z.number(),
  /** Whether the knob reaches it. */
  inRange: z.boolean(),
  tolerancePercent: z.number(),
  targets: z.array(targetSchema),
});

export const gainStructureSchema = z.object({
  ...base,
  kind: z.literal('gain-structure'),
  output: outputSchema,
  setting,
  worstHz: z.number(),
  /** From the tap to the speaker, 0 dBFS at `worstHz`, restoration on. */
  nodes: z.array(
    z.object({
      node: z.enum(['tap', 'converter input', 'converter output', 'amplifier output']),
      voltsRms: measuredOrReasonSchema,
      limitVoltsRms: z.number().nullable(),
      /** Negative where the limit is passed. */
      headroomDb: z.number().nullable(),
    }),
  ),
  clipsFirst: z.enum(['radio', 'converter input', 'converter output', 'amplifier', 'not told']),
  /** Spread of the headrooms with the gain overlap taken out. */
  spreadDb: z.number().nullable(),
  noise: z
    .object({
      atSpeakerVolts: z.number(),
      belowFullOutputDb: z.number(),
      /** Shares of the noise power; they add to 1. */
      shares: z.array(z.object({ stage: z.enum(['radio', 'converter', 'amplifier']), share: z.number() })),
    })
    .nullable(),
});

/** Resistors in front of an input that would be overdriven. */
export const padSchema = z.object({
  ...base,
  kind: z.literal('pad'),
  tapIds: z.array(z.string()),
  seriesOhms: z.number(),
  shuntOhms: z.number(),
  lossDb: z.number(),
  outputVoltsRms: z.number(),
  loadOnRadioOhms: z.number(),
  seriesWatts: z.number(),
  shuntWatts: z.number(),
  /** Ratings to buy, each at least twice the dissipation. */
  seriesRatingWatts: z.number(),
  shuntRatingWatts: z.number(),
});

export const filterSchema = z.object({
  ...base,
  kind: z.literal('filter'),
  output: outputSchema,
  type: z.enum(['high-pass', 'low-pass']),
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
});

export const turnOnAdviceSchema = z.object({
  ...base,
  kind: z.literal('turn-on'),
  use: turnOnSchema,
  quietestSetting: setting.nullable(),
  quietestVoltsRms: measuredOrReasonSchema,
  thresholdVolts: z.number().nullable(),
});

export const groundingSchema = z.object({
  ...base,
  kind: z.literal('grounding'),
  noise: z.enum([
    'hiss',
    'mains hum',
    'alternator',
    'engine-related tones',
    'lines of unknown origin',
    'recorder',
  ]),
  tapIds: z.array(z.string()),
  advice: z.array(z.string()),
});

export const supplySchema = z.object({
  ...base,
  kind: z.literal('supply'),
  currentAmps: z.number(),
  supplyVolts: z.number(),
  wire: z
    .object({
      mm2: z.number(),
      nearestAwg: z.number(),
      dropVolts: z.number(),
      dropPercent: z.number(),
      lossWatts: z.number(),
      verdict: z.enum(['enough', 'too thin']),
    })
    .nullable(),
  /** Thinnest standard wire that keeps the drop, copper and copper-clad; null without a length. */
  thinnest: z
    .object({ copperMm2: z.number(), copperAwg: z.number(), cladMm2: z.number(), cladAwg: z.number() })
    .nullable(),
  /** Rated for the wire; null where no wire is given. */
  fuseAmps: z.number().nullable(),
  cautions: z.array(z.string()),
});

export const recordNextSchema = z.object({
  ...base,
  kind: z.literal('record-next'),
  what: z.string(),
  tapIds: z.array(z.string()),
  settings: z.array(setting),
  /** Whether gains or wiring must wait for it. */
  blocks: z.boolean(),
});

export const cannotBeDoneSchema = z.object({
  ...base,
  kind: z.literal('cannot-be-done'),
  wanted: z.string(),
  bindingLimit: z.string(),
  nearest: z.string(),
  otherClass: z.string().nullable(),
});

/** One short take that shows, years later, that the radio is still the same. */
export const confirmSchema = z.object({
  ...base,
  kind: z.literal('confirm'),
  tapId: z.string(),
  setting,
  toneHz: z.number(),
  voltsRms: measuredOrReasonSchema,
  withinDb: z.number(),
});

export const recommendationSchema = z.discriminatedUnion('kind', [
  orderSchema,
  feedSchema,
  restorationSchema,
  highestCleanSettingSchema,
  converterLevelSchema,
  amplifierGainSchema,
  gainStructureSchema,
  padSchema,
  filterSchema,
  equalizerSchema,
  subwooferLawSchema,
  bassReachSchema,
  seatSchema,
  turnOnAdviceSchema,
  groundingSchema,
  supplySchema,
  recordNextSchema,
  cannotBeDoneSchema,
  confirmSchema,
]);
export type Recommendation = z.infer<typeof recommendationSchema>;
export type RecommendationOf<Kind extends Recommendation['kind']> = Extract<Recommendation, { kind: Kind }>;

export function recommendationsOf<Kind extends Recommendation['kind']>(
  recommendations: readonly Recommendation[],
  kind: Kind,
): RecommendationOf<Kind>[] {
  return recommendations.filter((item): item is RecommendationOf<Kind> => item.kind === kind);
}
