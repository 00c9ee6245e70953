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
const restorationAbilitySchema = form({
  kind: z
    .enum(['fixed', 'dynamic'])
    .describe('fixed: the same shelf at every level; dynamic: the shelf grows as the radio cuts bass.'),
  maximumDb: positive.describe('Most bass that it adds, dB.'),
  centreHz: positive
    .default(50)
    .describe('Frequency of the full boost, Hz; a shelf keeps it below. Default: 50.'),
});

/** What wakes a converter or an amplifier. */
const turnOnFields = {
  turnOn: z
    .array(turnOnSchema)
    .default(['switched line'])
    .describe('How it can turn on. Default: switched line.'),
  senseThresholdVolts: positive
    .default(0.1)
    .describe('Signal level that turns it on, volts RMS. Default: 0.1.'),
};

/** Takes speaker level, gives line level. */
export const converterSchema = form({
  name: z.string().default('converter').describe('What the sheets call it. Default: converter.'),
  inputs: z.number().int().positive().max(MOST).describe('Speaker-level inputs, each for one pair of wires.'),
  inputLimitVoltsRms: positive.describe('Input limit, volts RMS.'),
  inputOhms: positive.default(10_000).describe('Resistance of an input, ohms. Default: 10000.'),
  summing: z
    .enum(['none', 'pairs', 'any'])
    .default('none')
    .describe('pairs: sums inputs 1+2 and 3+4; any: sums any inputs into any output. Default: none.'),
  canInvert: z.boolean().default(false).describe('Whether a switch inverts a channel. Default: false.'),
  trimRangeDb: range
    .default([0, 0])
    .describe('Trim of each input, dB, lowest and highest. Default: [0, 0], none.'),
  maximumDelaySeconds: z
    .number()
    .min(0)
    .default(0)
    .describe('Longest delay of an input, seconds; 0 if it has no delay. Default: 0.'),
  delayStepSeconds: positive.default(10e-6).describe('Step of that delay, seconds. Default: 0.00001.'),
  gainRangeDb: range
    .default([-30, 6])
    .describe('Gain from input to output, dB, lowest and highest. Default: [-30, 6].'),
  outputLimitVoltsRms: positive.default(4).describe('Output at which it clips, volts RMS. Default: 4.'),
  outputNoiseVolts: z
    .number()
    .min(0)
    .default(50e-6)
    .describe('Noise at an output, 20 Hz to 20 kHz, volts RMS. Default: 0.00005.'),
  restoration: restorationAbilitySchema
    .nullable()
    .default(null)
    .describe('Its bass restoration. Default: none.'),
  eqBands: z.number().int().min(0).default(0).describe('Bands of parametric EQ for each output. Default: 0.'),
  ...turnOnFields,
});
export type Converter = z.infer<typeof converterSchema>;

const filterAbilitySchema = form({
  rangeHz: range.describe('Lowest and highest corner, Hz.'),
  slopeDbPerOctave: positive.describe('Slope, dB an octave.'),
});

export type FilterAbility = z.infer<typeof filterAbilitySchema>;

export const amplifierSchema = form({
  name: z.string().default('amplifier').describe('What the sheets call it. Default: amplifier.'),
  feeds: z
    .array(outputSchema)
    .min(1)
    .describe('Feeds that its channels play: front, rear, centre, subwoofer.'),
  ratedWatts: positive.describe('Rated power of one channel (of the pair if bridged) into ratedOhms, watts.'),
  ratedOhms: positive.default(4).describe('Load for that rating, ohms. Default: 4.'),
  lowestOhms: positive.optional().describe('Lowest load that it is rated for, ohms. Default: not checked.'),
  loadOhms: positive
    .optional()
    .describe('Load on the channel, ohms. Default: that of the woofer or speaker.'),
  sensitivityRangeVoltsRms: range
    .default([0.2, 4])
    .describe('Input for rated power, volts RMS, gain fully up and fully down. Default: [0.2, 4].'),
  speakerInputLimitVoltsRms: positive
    .nullable()
    .default(null)
    .describe('Limit of its speaker-level inputs, volts RMS. Default: it has none.'),
  speakerSensitivityRangeVoltsRms: range
    .optional()
    .describe('The same at its speaker-level inputs. Default: not known.'),
  inputNoiseVolts: z
    .number()
    .min(0)
    .default(10e-6)
    .describe('Noise referred to its input, 20 Hz to 20 kHz, volts RMS. Default: 0.00001.'),
  highPass: filterAbilitySchema.nullable().default(null).describe('Its high-pass filter. Default: none.'),
  lowPass: filterAbilitySchema.nullable().default(null).describe('Its low-pass filter. Default: none.'),
  channels: z.number().int().positive().max(MOST).default(1).describe('Channels in use. Default: 1.'),
  efficiency: z
    .number()
    .positive()
    .max(1)
    .default(0.75)
    .describe('Power out over power in at rated power, 0 to 1. Default: 0.75.'),
  ...turnOnFields,
  gainOverlapDb: z
    .number()
    .min(0)
    .max(10)
    .default(0)
    .describe(
      'Gain overlap: the amplifier is full this far below full scale, dB. 0 keeps loud music clean, 10 is the usual most. More plays quiet music louder and clips loud music earlier. Default: 0.',
    ),
});
export type Amplifier = z.infer<typeof amplifierSchema>;

const speakerSchema = form({
  name: z.string().default('speaker').describe('What the sheets call it. Default: speaker.'),
  feeds: outputSchema.describe('Its feed: front, rear, centre or subwoofer.'),
  factory: z
    .boolean()
    .default(false)
    .describe(
      "Whether it is a factory speaker: a small cone that the radio's bass cut protects. Default: false.",
    ),
  ohms: positive.default(4).describe('Its impedance, ohms. Default: 4.'),
  ratedWatts: positive.optional().describe('Power rating, watts. Default: not checked.'),
  lowestHz: positive
    .optional()
    .describe('Lowest frequency at rated power, Hz, from its maker. Default: by its place.'),
  wiring: speakerWiringSchema
    .default('unknown')
    .describe(
      'Wiring of door and tweeter: one pair into a passive crossover, separate pairs, or both in parallel on one pair. Default: unknown.',
    ),
  tweeter: tweeterSchema
    .nullable()
    .default(null)
    .describe('The tweeter that shares the channel of the door. Default: not noted.'),
});
export type Speaker = z.infer<typeof speakerSchema>;

/** A woofer in a closed box; several alike are counted. */
export const wooferSchema = form({
  name: z.string().default('woofer').describe('What the sheets call it. Default: woofer.'),
  count: z.number().int().positive().max(MOST).default(1).describe('How many. Default: 1.'),
  ohms: positive.default(4).describe('Impedance of all together as wired, ohms. Default: 4.'),
  ratedWatts: positive.optional().describe('Power rating of one, watts. Default: not checked.'),
  areaCm2: positive.describe('Effective cone area of one, square centimetres.'),
  peakTravelMm: positive.describe('Cone travel, one way, peak, millimetres.'),
  resonanceHz: positive
    .optional()
    .describe(
      'Resonance in free air, Hz; with qts, vasLitres and boxLitres Steptone works out the box. Default: not known.',
    ),
  qts: positive.optional().describe('Total Q in free air. Default: not known.'),
  vasLitres: positive
    .optional()
    .describe('Vas, the air volume as stiff as its suspension, litres. Default: not known.'),
  boxLitres: positive
    .optional()
    .describe('Net volume of the closed box for each woofer, litres. Default: not known.'),
  box: z
    .enum(['closed', 'ported'])
    .optional()
    .describe(
      'closed or ported; of a ported box Steptone counts travel only. Default: closed if you give boxLitres.',
    ),
  tuningHz: positive.optional().describe('Tuning of a ported box, Hz. Default: not known.'),
  targetDb: positive
    .default(100)
    .describe(
      'Sound level that you want at 1 m, dB; the report says how low it goes at that level. Default: 100.',
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
    .describe('Its metal. Default: copper.'),
  return: z
    .enum(['chassis', 'wire'])
    .default('chassis')
    .describe('Return path: the body, or a second wire of the same kind. Default: chassis.'),
  fuseAmps: positive.optional().describe('Main fuse in the car now, amperes. Default: not known.'),
  fuseDistanceMetres: positive
    .optional()
    .describe('Wire from battery post to fuse, metres. Default: not known.'),
  supplyVolts: positive.default(14.4).describe('Supply with the engine running, volts. Default: 14.4.'),
}).refine(({ mm2, awg }) => mm2 === undefined || awg === undefined, 'give mm2 or awg, not both');
export type SupplyWire = z.infer<typeof supplyWireSchema>;

/** Way from a speaker to the ear of the driver. */
const seatDistanceSchema = form({
  feeds: outputSchema.describe('Front, rear, centre or subwoofer.'),
  side: z
    .enum(['left', 'right', 'both'])
    .default('both')
    .describe('left or right; both if there is one speaker or both are as far. Default: both.'),
  metres: positive.describe("From the speaker to the middle of the driver's head, metres."),
});
export type SeatDistance = z.infer<typeof seatDistanceSchema>;

export const equipmentSchema = form({
  converter: converterSchema
    .nullable()
    .default(null)
    .describe('Turns speaker level into line level. Default: the example class that suits the radio.'),
  amplifiers: z
    .array(amplifierSchema)
    .default([])
    .describe(
      'Amplifiers, each with its feeds. Default: none; the sheets then end at the volts of the converter.',
    ),
  speakers: z.array(speakerSchema).default([]).describe('Speakers, each with its feed. Default: none.'),
  woofer: wooferSchema
    .nullable()
    .default(null)
    .describe("The subwoofer's woofer in a closed box. Default: none."),
  supplyWire: supplyWireSchema
    .nullable()
    .default(null)
    .describe('Supply wire from battery to amplifiers. Default: not checked.'),
  seat: seatTakesSchema
    .nullable()
    .default(null)
    .describe('Four microphone takes at the seat; Steptone fills them in from recordings. Default: none.'),
  seatDistances: z
    .array(seatDistanceSchema)
    .default([])
    .describe('Distances from speakers to seat, for the delays. Default: none.'),
});
export type Equipment = z.infer<typeof equipmentSchema>;
/** As people write it: defaults not applied yet. */
export type EquipmentInput = z.input<typeof equipmentSchema>;
