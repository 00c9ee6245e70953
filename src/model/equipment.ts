import { z } from 'zod';
import { form } from './form.ts';

/**
 * The parts that are in the car or meant for it, as data. Everything may be left out: what is missing is either assumed
 * from the example classes of `recommend/example-classes.ts` and marked so, or answered as a voltage to measure.
 */
const positive = z.number().positive();
const range = z
  .tuple([z.number(), z.number()])
  .refine(([from, to]) => from <= to, 'the lower limit comes first');

/** What a channel of an amplifier, or a feed to it, is for. */
export const outputSchema = z.enum(['front', 'rear', 'centre', 'subwoofer']);
export type Output = z.infer<typeof outputSchema>;

export const turnOnSchema = z.enum(['signal sense', 'offset sense', 'switched line']);
export type TurnOn = z.infer<typeof turnOnSchema>;

/** `fixed`: the same shelf at every level. `dynamic`: grows as the level of the bass falls behind the rest. */
export const restorationAbilitySchema = form({
  kind: z.enum(['fixed', 'dynamic']),
  maximumDb: positive,
  /** Where the boost stands at full height; below it a shelf stays there. */
  centreHz: positive.default(50),
});

/** Takes speaker level, gives line level. */
export const converterSchema = form({
  name: z.string().default('converter'),
  inputs: z.number().int().positive(),
  inputLimitVoltsRms: positive,
  inputOhms: positive.default(10_000),
  /** `pairs`: inputs 1+2 and 3+4 into one output each; `any`: any input into any output. */
  summing: z.enum(['none', 'pairs', 'any']).default('none'),
  canInvert: z.boolean().default(false),
  trimRangeDb: range.default([0, 0]),
  /** 0 where it cannot delay. */
  maximumDelaySeconds: z.number().min(0).default(0),
  delayStepSeconds: positive.default(10e-6),
  gainRangeDb: range.default([-30, 6]),
  outputLimitVoltsRms: positive.default(4),
  outputNoiseVolts: z.number().min(0).default(50e-6),
  restoration: restorationAbilitySchema.nullable().default(null),
  /** Bands of parametric EQ for each output. */
  eqBands: z.number().int().min(0).default(0),
  turnOn: z.array(turnOnSchema).default(['switched line']),
  /** Level that wakes it by signal. */
  senseThresholdVolts: positive.default(0.1),
});
export type Converter = z.infer<typeof converterSchema>;

export const filterAbilitySchema = form({ rangeHz: range, slopeDbPerOctave: positive });

export const amplifierSchema = form({
  name: z.string().default('amplifier'),
  feeds: z.array(outputSchema).min(1),
  /** Rated power of one channel (of the pair where bridged) into `ratedOhms`. */
  ratedWatts: positive,
  ratedOhms: positive.default(4),
  lowestOhms: positive.optional(),
  /** Impedance connected to the channel; the woofer's or speaker's where it is given there. */
  loadOhms: positive.optional(),
  /** Input volts for rated output, from the most sensitive position to the least. */
  sensitivityRangeVoltsRms: range.default([0.2, 4]),
  /** Rated volts of its speaker-level inputs; null where it has none. */
  speakerInputLimitVoltsRms: positive.nullable().default(null),
  speakerInputOhms: positive.default(1000),
  /** Noise at its input terminals, 20 Hz to 20 kHz. */
  inputNoiseVolts: z.number().min(0).default(10e-6),
  highPass: filterAbilitySchema.nullable().default(null),
  lowPass: filterAbilitySchema.nullable().default(null),
  channels: z.number().int().positive().default(1),
  /** Output over supply power at rated output. */
  efficiency: z.number().positive().max(1).default(0.75),
  turnOn: z.array(turnOnSchema).default(['switched line']),
  senseThresholdVolts: positive.default(0.1),
  /** How far below full scale the tone is that already drives it to rated power; 0 for clean loud programme, 10 the usual most. */
  gainOverlapDb: z.number().min(0).max(10).default(0),
});
export type Amplifier = z.infer<typeof amplifierSchema>;

export const speakerSchema = form({
  name: z.string().default('speaker'),
  feeds: outputSchema,
  /** The speaker the car came with: small cones that the radio's bass cut protects. */
  factory: z.boolean().default(false),
  ohms: positive.default(4),
  ratedWatts: positive.optional(),
  /** Lowest frequency its maker allows at rated power. */
  lowestHz: positive.optional(),
});
export type Speaker = z.infer<typeof speakerSchema>;

/** A woofer in a closed box; several alike are counted. */
export const wooferSchema = form({
  name: z.string().default('woofer'),
  count: z.number().int().positive().default(1),
  /** All of them as wired together. */
  ohms: positive.default(4),
  ratedWatts: positive.optional(),
  /** Effective cone area of one. */
  areaCm2: positive,
  /** One way, peak. */
  peakTravelMm: positive,
  resonanceHz: positive.optional(),
  qts: positive.optional(),
  vasLitres: positive.optional(),
  /** Net volume for each woofer. */
  boxLitres: positive.optional(),
  /** Sound pressure wanted at 1 m from it, for the lowest frequency it stands. */
  targetDb: positive.default(100),
});
export type Woofer = z.infer<typeof wooferSchema>;

/** Supply wire from the battery to the amplifiers. */
export const supplyWireSchema = form({
  /** One way. */
  lengthMetres: positive,
  mm2: positive.optional(),
  awg: z.number().int().min(-3).max(40).optional(),
  metal: z.enum(['copper', 'copper-clad aluminium']).default('copper'),
  /** Whether the return runs through a wire of the same kind or through the body. */
  return: z.enum(['chassis', 'wire']).default('chassis'),
  fuseAmps: positive.optional(),
  /** From the battery post to the fuse, along the wire. */
  fuseDistanceMetres: positive.optional(),
  supplyVolts: positive.default(14.4),
}).refine(({ mm2, awg }) => mm2 === undefined || awg === undefined, 'give mm2 or awg, not both');
export type SupplyWire = z.infer<typeof supplyWireSchema>;

/** Four microphone takes at the seat: the magnitude of each, decibels, at the listed frequencies. */
export const seatTakesSchema = form({
  frequencyHz: z.array(positive).min(1),
  subwooferDb: z.array(z.number()),
  mainsDb: z.array(z.number()),
  bothDb: z.array(z.number()),
  bothSubwooferInvertedDb: z.array(z.number()).optional(),
}).refine(
  ({ frequencyHz, subwooferDb, mainsDb, bothDb, bothSubwooferInvertedDb }) =>
    [subwooferDb, mainsDb, bothDb, bothSubwooferInvertedDb].every(
      (list) => list === undefined || list.length === frequencyHz.length,
    ),
  'every list is as long as frequencyHz',
);
export type SeatTakes = z.infer<typeof seatTakesSchema>;

export const equipmentSchema = form({
  converter: converterSchema.nullable().default(null),
  amplifiers: z.array(amplifierSchema).default([]),
  speakers: z.array(speakerSchema).default([]),
  woofer: wooferSchema.nullable().default(null),
  supplyWire: supplyWireSchema.nullable().default(null),
  seat: seatTakesSchema.nullable().default(null),
});
export type Equipment = z.infer<typeof equipmentSchema>;
/** As people write it: defaults not applied yet. */
export type EquipmentInput = z.input<typeof equipmentSchema>;
