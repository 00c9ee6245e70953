import { z } from 'zod';
import { cleanSettingsSchema } from '../clipping-findings.ts';
import { outputSchema } from '../equipment.ts';
import { measuredOrReasonSchema } from '../measured-schema.ts';
import { reasonSchema } from '../reason.ts';
import { base, setting } from './base.ts';

export const highestCleanSettingSchema = z.object({
  ...base,
  kind: z.literal('highest-clean-setting'),
  /** Worst of the taps in use; null where it cannot be told. */
  recorded: setting.nullable(),
  firstClippingRecorded: setting.nullable(),
  /** Of the limiting tap, recorded above `recorded`: as its clean settings have them. */
  notKnown: cleanSettingsSchema.shape.notKnown,
  /** Of the limiting tap: what `recorded` rests on, where no full-scale tone was as loud as its most boosted frequency. */
  asLoudAsPlayed: cleanSettingsSchema.shape.asLoudAsPlayed,
  /** Outputs in use of which no take says whether they clip; absent where there are none, and from older files. */
  notJudged: z.array(z.string()).optional(),
  /** Between recorded settings, by the volume law. */
  computed: setting.nullable(),
  limitingTapId: z.string().nullable(),
  atHz: z.number().nullable(),
  /** Of the limiting tap at `recorded`, 0 dBFS at `atHz`. */
  voltsRms: measuredOrReasonSchema,
  /** Of the limiting tap at the 1 kHz region, 0 dBFS. */
  midBandVoltsRms: measuredOrReasonSchema,
  basis: reasonSchema,
  /** What gains are set at where that is lower; absent where it is `recorded`. */
  gainsAt: setting.optional(),
  /** Why they are; absent where restoration holds no further. */
  endedBy: reasonSchema.optional(),
  /** At the radio while it was recorded; absent where nobody read it. */
  supplyVolts: z.number().optional(),
});

/** What a meter reads when the knob is right. */
const targetSchema = z.object({
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
  /** Converter's output, 0 dBFS at `worstHz`, at which the radio is the first to clip; absent where not known. */
  radioFirstLineVoltsRms: z.number().optional(),
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
