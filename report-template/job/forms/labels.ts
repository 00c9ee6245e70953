/** What fields are called on the page, with their units; all others by their names, taken apart. */
const LABELS: Readonly<Record<string, string>> = {
  name: 'Name',
  inputs: 'Speaker-level inputs',
  inputOhms: 'Resistance of an input',
  trimRangeDb: 'Trim of an input',
  maximumDelaySeconds: 'Longest delay',
  delayStepSeconds: 'Step of the delay',
  gainRangeDb: 'Gain',
  outputNoiseVolts: 'Noise of an output',
  inputNoiseVolts: 'Noise at the input',
  summing: 'Adding inputs together',
  canInvert: 'Can turn a channel round',
  eqBands: 'EQ bands an output',
  restoration: 'Bass restoration',
  maximumDb: 'Most bass it can add',
  centreHz: 'Full boost at',
  kind: 'Kind',
  feeds: 'Plays',
  channels: 'Channels in use',
  ratedWatts: 'Rated power of one',
  ratedOhms: 'Rated into',
  lowestOhms: 'Lowest load',
  loadOhms: 'Load connected',
  highPass: 'High-pass filter',
  lowPass: 'Low-pass filter',
  rangeHz: 'Corner can be set',
  efficiency: 'Efficiency, 0 to 1',
  turnOn: 'Turned on by',
  senseThresholdVolts: 'Wakes by signal from',
  factory: 'Came with the car',
  count: 'How many alike',
  ohms: 'Impedance',
  lowestHz: 'Plays down to',
  crossover: 'Protected by',
  microfarads: 'Capacitor',
  areaCm2: 'Cone area of one',
  peakTravelMm: 'Travel, one way',
  resonanceHz: 'Resonance in free air',
  qts: 'Total Q in free air',
  vasLitres: 'Suspension as air volume (Vas)',
  boxLitres: 'Volume of the box',
  box: 'Kind of box',
  tuningHz: 'Box tuned to',
  targetDb: 'Sound pressure wanted at 1 m',
  mm2: 'Cross-section',
  awg: 'Gauge, AWG',
  metal: 'Metal',
  return: 'Current returns through',
  lengthMetres: 'Length, one way',
  fuseAmps: 'Main fuse',
  fuseDistanceMetres: 'From battery to fuse',
  supplyVolts: 'Supply, engine running',
  padRatio: 'Pad ratio',
  fullScaleVoltsRms: 'Full scale of the recorder',
  sensitivityRangeVoltsRms: 'Input sensitivity, knob up to knob down',
  speakerSensitivityRangeVoltsRms: 'The same at speaker level',
  speakerInputLimitVoltsRms: 'Speaker-level inputs stand',
  inputLimitVoltsRms: 'An input stands',
  outputLimitVoltsRms: 'An output gives',
  gainOverlapDb: 'Gain overlap',
};

/** Endings of field names, and the units that they mean; longer ones first. */
const UNITS: readonly (readonly [RegExp, string])[] = [
  [/VoltsRms$/, 'V RMS'],
  [/DbPerOctave$/, 'dB/octave'],
  [/Volts$/, 'V'],
  [/Watts$/, 'W'],
  [/Ohms$/, 'Ω'],
  [/Seconds$/, 's'],
  [/Metres$/, 'm'],
  [/Litres$/, 'l'],
  [/Amps$/, 'A'],
  [/Cm2$/, 'cm²'],
  [/Mm$/, 'mm'],
  [/mm2$/, 'mm²'],
  [/^ohms$/, 'Ω'],
  [/^microfarads$/, 'µF'],
  [/Hz$/, 'Hz'],
  [/Db$/, 'dB'],
];

/** @returns whether the label was given, or is the field's own name */
export function labelOf(field: string): { label: string; isGiven: boolean; unit?: string | undefined } {
  const [ending, unit] = UNITS.find(([pattern]) => pattern.test(field)) ?? [/$^/, undefined];
  const given = LABELS[field];
  return { label: given ?? plainName(field.replace(ending, '')), isGiven: given !== undefined, unit };
}

/** `fuseDistance`: Fuse distance. */
function plainName(name: string): string {
  const words = name.replace(/([a-z])([A-Z])/g, (_, before, after) => `${before} ${after.toLowerCase()}`);
  return words.charAt(0).toUpperCase() + words.slice(1);
}
