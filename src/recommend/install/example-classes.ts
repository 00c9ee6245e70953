import type { EquipmentInput } from '../../model/equipment.ts';

/** What a line output gives where no converter is chosen yet (common practice: 4 V for a plain one, 5 to 9 V for better). */
export const EXAMPLE_LINE_OUTPUT_VOLTS = 4;

type Classes<Part> = Readonly<Record<string, Part>>;
type Item<List> = List extends readonly (infer Member)[] ? Member : never;

/** Invented classes of equipment with usual figures (common practice, no maker's data), to plan with before parts are chosen. */
export const exampleConverters: Classes<NonNullable<EquipmentInput['converter']>> = {
  'gain only': {
    name: 'gain-only converter',
    inputs: 2,
    inputLimitVoltsRms: 20,
    outputLimitVoltsRms: 4,
    turnOn: ['offset sense', 'switched line'],
  },
  summing: {
    name: 'summing converter',
    inputs: 4,
    inputLimitVoltsRms: 20,
    summing: 'pairs',
    canInvert: true,
    outputLimitVoltsRms: 5,
    turnOn: ['signal sense', 'offset sense', 'switched line'],
  },
  'summing with restoration': {
    name: 'summing converter with bass restoration',
    inputs: 8,
    inputLimitVoltsRms: 20,
    summing: 'pairs',
    canInvert: true,
    outputLimitVoltsRms: 5,
    restoration: { kind: 'dynamic', maximumDb: 12 },
    turnOn: ['signal sense', 'offset sense', 'switched line'],
  },
  'digital processor': {
    name: 'digital processor',
    inputs: 8,
    inputLimitVoltsRms: 16,
    summing: 'any',
    canInvert: true,
    trimRangeDb: [-12, 0],
    maximumDelaySeconds: 10e-3,
    outputLimitVoltsRms: 4,
    restoration: { kind: 'fixed', maximumDb: 12 },
    eqBands: 10,
    turnOn: ['signal sense', 'switched line'],
  },
};

export const exampleAmplifiers: Classes<Item<NonNullable<EquipmentInput['amplifiers']>>> = {
  'two channels': { name: 'two-channel amplifier', feeds: ['front'], channels: 2, ratedWatts: 75 },
  'four channels': {
    name: 'four-channel amplifier',
    feeds: ['front', 'rear'],
    channels: 4,
    ratedWatts: 75,
    speakerInputLimitVoltsRms: 10,
  },
  'five channels': {
    name: 'five-channel amplifier',
    feeds: ['front', 'rear', 'subwoofer'],
    channels: 5,
    ratedWatts: 75,
  },
  mono: { name: 'mono amplifier', feeds: ['subwoofer'], ratedWatts: 500 },
};

export const exampleWoofers: Classes<NonNullable<EquipmentInput['woofer']>> = {
  'small sealed': {
    name: 'small sealed woofer',
    areaCm2: 210,
    peakTravelMm: 9,
    resonanceHz: 38,
    qts: 0.55,
    vasLitres: 14,
    boxLitres: 10,
    ratedWatts: 200,
  },
  larger: {
    name: 'larger subwoofer',
    areaCm2: 480,
    peakTravelMm: 12,
    resonanceHz: 28,
    qts: 0.5,
    vasLitres: 60,
    boxLitres: 40,
    ratedWatts: 500,
  },
};
