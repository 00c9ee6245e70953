import { z } from 'zod';
import { form } from './form.ts';
import { seatTakesSchema } from './seat-levels.ts';
import { speakerWiringSchema, tweeterSchema } from './tweeter.ts';

export type { SeatTakes } from './seat-levels.ts';

/**
 * The parts that are in the car or meant for it, as data. Everything may be left out: what is missing is either assumed
 * from the example classes of `recommend/example-classes.ts` and marked so, or answered as a voltage to measure.
 */
/** No part has a figure beyond these, whatever its unit (common practice); what is worked out of them stays a number. */
const [LEAST, MOST] = [1e-9, 1e6];
const positive = z.number().positive().min(LEAST).max(MOST);
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
  kind: z
    .enum(['fixed', 'dynamic'])
    .describe('fixed: the same shelf at every level; dynamic: it grows as the bass falls behind the rest.'),
  maximumDb: positive.describe('The most bass that it can add, dB.'),
  centreHz: positive
    .default(50)
    .describe('Where the boost stands at full height, Hz; below it a shelf stays there. Default: 50.'),
});

/** What wakes a converter or an amplifier. */
const turnOnFields = {
  turnOn: z
    .array(turnOnSchema)
    .default(['switched line'])
    .describe('Ways in which it can be turned on. Default: switched line.'),
  senseThresholdVolts: positive
    .default(0.1)
    .describe('Level that wakes it by signal, volts RMS. Default: 0.1.'),
};

/** Takes speaker level, gives line level. */
export const converterSchema = form({
  name: z.string().default('converter').describe('What the sheets call it. Default: converter.'),
  inputs: z.number().int().positive().max(MOST).describe('Speaker-level inputs, each for one pair of wires.'),
  inputLimitVoltsRms: positive.describe('The most that an input stands, volts RMS.'),
  inputOhms: positive.default(10_000).describe('Resistance of an input, ohms. Default: 10000.'),
  summing: z
    .enum(['none', 'pairs', 'any'])
    .default('none')
    .describe(
      'pairs: inputs 1+2 and 3+4 into one output each; any: any input into any output. Default: none.',
    ),
  canInvert: z
    .boolean()
    .default(false)
    .describe('Whether it can turn a channel round by a switch. Default: false.'),
  trimRangeDb: range
    .default([0, 0])
    .describe('Trim of each input against the others, dB, from and to. Default: [0, 0], none.'),
  maximumDelaySeconds: z
    .number()
    .min(0)
    .default(0)
    .describe('The longest delay of an input, seconds; 0 where it cannot delay. Default: 0.'),
  delayStepSeconds: positive.default(10e-6).describe('Step of that delay, seconds. Default: 0.00001.'),
  gainRangeDb: range
    .default([-30, 6])
    .describe('Gain from input to output, dB, from and to. Default: [-30, 6].'),
  outputLimitVoltsRms: positive
    .default(4)
    .describe('The most that an output gives before it clips, volts RMS. Default: 4.'),
  outputNoiseVolts: z
    .number()
    .min(0)
    .default(50e-6)
    .describe('Noise at an output, 20 Hz to 20 kHz, volts RMS. Default: 0.00005.'),
  restoration: restorationAbilitySchema
    .nullable()
    .default(null)
    .describe('The bass restoration that it has. Default: none.'),
  eqBands: z.number().int().min(0).default(0).describe('Bands of parametric EQ for each output. Default: 0.'),
  ...turnOnFields,
});
export type Converter = z.infer<typeof converterSchema>;

export const filterAbilitySchema = form({
  rangeHz: range.describe('Corners that can be set, Hz, from and to.'),
  slopeDbPerOctave: positive.describe('Its slope, dB an octave.'),
});

export type FilterAbility = z.infer<typeof filterAbilitySchema>;

export const amplifierSchema = form({
  name: z.string().default('amplifier').describe('What the sheets call it. Default: amplifier.'),
  feeds: z.array(outputSchema).min(1).describe('What its channels play: front, rear, centre, subwoofer.'),
  ratedWatts: positive.describe(
    'Rated power of one channel (of the pair where bridged) into ratedOhms, watts.',
  ),
  ratedOhms: positive.default(4).describe('Load at which the power is rated, ohms. Default: 4.'),
  lowestOhms: positive.optional().describe('The lowest load that it stands, ohms. Default: not checked.'),
  loadOhms: positive
    .optional()
    .describe(
      "Impedance connected to the channel, ohms. Default: the woofer's or speaker's, where given there.",
    ),
  sensitivityRangeVoltsRms: range
    .default([0.2, 4])
    .describe(
      'Input volts RMS for rated output, from the most sensitive position of the knob to the least. Default: [0.2, 4].',
    ),
  speakerInputLimitVoltsRms: positive
    .nullable()
    .default(null)
    .describe('The most that its speaker-level inputs stand, volts RMS. Default: it has none.'),
  speakerSensitivityRangeVoltsRms: range
    .optional()
    .describe(
      'The same at its speaker-level inputs, from the most sensitive position of the knob to the least. Default: not known.',
    ),
  inputNoiseVolts: z
    .number()
    .min(0)
    .default(10e-6)
    .describe('Noise as at its input terminals, 20 Hz to 20 kHz, volts RMS. Default: 0.00001.'),
  highPass: filterAbilitySchema.nullable().default(null).describe('Its high-pass filter. Default: none.'),
  lowPass: filterAbilitySchema.nullable().default(null).describe('Its low-pass filter. Default: none.'),
  channels: z.number().int().positive().max(MOST).default(1).describe('Channels in use. Default: 1.'),
  efficiency: z
    .number()
    .positive()
    .max(1)
    .default(0.75)
    .describe('Output over supply power at rated output, 0 to 1. Default: 0.75.'),
  ...turnOnFields,
  gainOverlapDb: z
    .number()
    .min(0)
    .max(10)
    .default(0)
    .describe(
      'How far below full scale the tone is that already drives it to rated power, dB: 0 for clean loud programme, 10 the usual most. More plays quiet programme louder and clips loud ones earlier. Default: 0.',
    ),
});
export type Amplifier = z.infer<typeof amplifierSchema>;

export const speakerSchema = form({
  name: z.string().default('speaker').describe('What the sheets call it. Default: speaker.'),
  feeds: outputSchema.describe('Which feed plays it: front, rear, centre or subwoofer.'),
  factory: z
    .boolean()
    .default(false)
    .describe(
      "Whether the car came with it: a small cone that the radio's bass cut protects. Default: false.",
    ),
  ohms: positive.default(4).describe('Its impedance, ohms. Default: 4.'),
  ratedWatts: positive.optional().describe('Power that it stands, watts. Default: not checked.'),
  lowestHz: positive
    .optional()
    .describe('Lowest frequency that its maker allows at rated power, Hz. Default: by its place.'),
  wiring: speakerWiringSchema
    .default('unknown')
    .describe(
      'How door and tweeter are wired: one pair into a passive crossover, separate pairs, parallel on one pair. Default: unknown.',
    ),
  tweeter: tweeterSchema
    .nullable()
    .default(null)
    .describe(
      'The tweeter of the same place, where the door and it are fed from one channel. Default: not noted.',
    ),
});
export type Speaker = z.infer<typeof speakerSchema>;

/** A woofer in a closed box; several alike are counted. */
export const wooferSchema = form({
  name: z.string().default('woofer').describe('What the sheets call it. Default: woofer.'),
  count: z.number().int().positive().max(MOST).default(1).describe('How many alike. Default: 1.'),
  ohms: positive.default(4).describe('Impedance of all of them as wired together, ohms. Default: 4.'),
  ratedWatts: positive.optional().describe('Power that one stands, watts. Default: not checked.'),
  areaCm2: positive.describe('Effective cone area of one, square centimetres.'),
  peakTravelMm: positive.describe('Travel of the cone, one way, peak, millimetres.'),
  resonanceHz: positive
    .optional()
    .describe(
      'Resonance in free air, Hz; with qts, vasLitres and boxLitres the box is worked out. Default: not known.',
    ),
  qts: positive.optional().describe('Total Q in free air. Default: not known.'),
  vasLitres: positive
    .optional()
    .describe('Volume of air as stiff as its suspension, litres. Default: not known.'),
  boxLitres: positive
    .optional()
    .describe('Net volume of the closed box for each woofer, litres. Default: not known.'),
  box: z
    .enum(['closed', 'ported'])
    .optional()
    .describe(
      'closed, or ported: then its travel alone is counted. Default: closed where boxLitres is given.',
    ),
  tuningHz: positive.optional().describe('What a ported box is tuned to, Hz. Default: not known.'),
  targetDb: positive
    .default(100)
    .describe(
      'Sound pressure wanted at 1 m, dB; the lowest frequency that it stands is given for it. Default: 100.',
    ),
});
export type Woofer = z.infer<typeof wooferSchema>;

/** Supply wire from the battery to the amplifiers. */
export const supplyWireSchema = form({
  lengthMetres: positive.describe('Length from the battery to the amplifiers, one way, metres.'),
  mm2: positive.optional().describe('Cross-section, square millimetres; or give awg. Default: not known.'),
  awg: z
    .number()
    .int()
    .min(-3)
    .max(40)
    .optional()
    .describe('Gauge by AWG, 0 for 1/0, -1 for 2/0; or give mm2. Default: not known.'),
  metal: z
    .enum(['copper', 'copper-clad aluminium'])
    .default('copper')
    .describe('What it is made of. Default: copper.'),
  return: z
    .enum(['chassis', 'wire'])
    .default('chassis')
    .describe(
      'Whether the current returns through the body or through a wire of the same kind. Default: chassis.',
    ),
  fuseAmps: positive.optional().describe('Main fuse that is fitted, amperes. Default: not known.'),
  fuseDistanceMetres: positive
    .optional()
    .describe('From the battery post to the fuse, along the wire, metres. Default: not known.'),
  supplyVolts: positive.default(14.4).describe('Supply with the engine running, volts. Default: 14.4.'),
}).refine(({ mm2, awg }) => mm2 === undefined || awg === undefined, 'give mm2 or awg, not both');
export type SupplyWire = z.infer<typeof supplyWireSchema>;

/** Way from a speaker to the ear of the driver. */
export const seatDistanceSchema = form({
  feeds: outputSchema.describe('Front, rear, centre or subwoofer.'),
  side: z
    .enum(['left', 'right', 'both'])
    .default('both')
    .describe('Left or right speaker; both where it is one, or both are as far. Default: both.'),
  metres: positive.describe("From the speaker to the middle of the driver's head, metres."),
});
export type SeatDistance = z.infer<typeof seatDistanceSchema>;

export const equipmentSchema = form({
  converter: converterSchema
    .nullable()
    .default(null)
    .describe('Takes speaker level, gives line level. Default: the class that the radio asks for.'),
  amplifiers: z
    .array(amplifierSchema)
    .default([])
    .describe(
      'Amplifiers, each with the feeds that it plays. Default: none; gains are then given as volts at the converter.',
    ),
  speakers: z.array(speakerSchema).default([]).describe('Speakers, each with its feed. Default: none.'),
  woofer: wooferSchema
    .nullable()
    .default(null)
    .describe("The subwoofer's woofer in a closed box. Default: none."),
  supplyWire: supplyWireSchema
    .nullable()
    .default(null)
    .describe('Supply wire from the battery to the amplifiers. Default: not checked.'),
  seat: seatTakesSchema
    .nullable()
    .default(null)
    .describe('Four microphone takes at the seat; filled in from recordings. Default: none.'),
  seatDistances: z
    .array(seatDistanceSchema)
    .default([])
    .describe('Distances from the speakers to the seat; the delays count them in. Default: none.'),
});
export type Equipment = z.infer<typeof equipmentSchema>;
/** As people write it: defaults not applied yet. */
export type EquipmentInput = z.input<typeof equipmentSchema>;
