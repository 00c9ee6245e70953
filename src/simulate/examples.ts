import { resolveScenario } from './read-scenario.ts';
import type { Scenario, ScenarioInput, TapInput } from './scenario.ts';

/**
 * Small scenarios with one thing to find in each (or nothing): five settings, two taps. Tests vary them; an own scenario
 * file can start from one.
 */
export type ExampleName = keyof typeof exampleInputs;

/** An example with some fields changed; `everyTap` is merged into what the example says of every tap. */
export function exampleScenario(name: ExampleName, changes: Partial<ScenarioInput> = {}): Scenario {
  const example: ScenarioInput = exampleInputs[name];
  return resolveScenario({
    ...example,
    ...changes,
    name,
    everyTap: { ...example.everyTap, ...changes.everyTap },
  });
}

/** 1 dB a step, 6.85 V for a full-scale sine at 30; a bridged stage on 14.4 V that clips at 12.6 V peak, above 32. */
const COMMON = {
  volume: { atSetting: 30, voltsRms: 6.85, dbPerStep: 1 },
  railVoltsPeak: 12.6,
  noise: { snrDb: 60 },
} satisfies TapInput;

/** The setting at which a full-scale sine is just below the rail is the highest. */
const UP_TO_CLEAN = [12, 16, 20, 26, 32];
const INTO_CLIPPING = [20, 26, 32, 36, 38];

const FRONT_PAIR = [
  { id: 'front-left', side: 'left', position: 'front' },
  { id: 'front-right', side: 'right', position: 'front' },
] satisfies TapInput[];

const DASH_AND_DOOR = {
  dash: { id: 'dash-left', side: 'left', position: 'dash' },
  door: { id: 'door-left', side: 'left', position: 'door' },
} as const;

function fullRange(
  everyTap: Partial<TapInput> = {},
  settings: readonly number[] = UP_TO_CLEAN,
): ScenarioInput {
  return {
    settings,
    everyTap: { ...COMMON, ...everyTap },
    taps: FRONT_PAIR,
    supply: { volts: 14.4, engineRunning: true },
  };
}

/** Dash high-passed and door low-passed at one corner, from the same side. */
function bandSplit(filter: {
  family: 'butterworth' | 'linkwitz-riley' | 'bessel';
  order: number;
  cornerHz: number;
  dash?: TapInput;
}): ScenarioInput {
  const { dash, ...shape } = filter;
  return {
    ...fullRange(),
    taps: [
      { ...DASH_AND_DOOR.dash, crossover: [{ side: 'high-pass', ...shape }], ...dash },
      { ...DASH_AND_DOOR.door, crossover: [{ side: 'low-pass', ...shape }] },
    ],
  };
}

/** Bass that is intact up to 20. */
function bassBySetting(at20: number, at26: number, at32: number) {
  return { '20': at20, '26': at26, '32': at32 };
}

const exampleInputs = {
  'flat full range': fullRange(),
  'fixed tone control': fullRange({
    fixedEq: [
      { kind: 'low shelf', frequencyHz: 100, gainDb: 6 },
      { kind: 'peak', frequencyHz: 2500, gainDb: -3, q: 1.2 },
      { kind: 'high shelf', frequencyHz: 8000, gainDb: 3 },
    ],
  }),
  'shelf loss': fullRange({
    volumeDependent: [{ kind: 'low shelf', frequencyHz: 80, gainDb: bassBySetting(0, -4, -9) }],
  }),
  'moving high-pass order 2': fullRange({
    volumeDependent: [{ kind: 'high-pass', order: 2, cornerHz: bassBySetting(0, 55, 90) }],
  }),
  'moving high-pass order 4': fullRange({
    volumeDependent: [{ kind: 'high-pass', order: 4, cornerHz: bassBySetting(0, 55, 90) }],
  }),
  // The ratio of its last and first state is a shelf at 52 Hz of -19.1 dB, exactly.
  'high-pass order 2 from 30 to 90 Hz': fullRange({
    volumeDependent: [{ kind: 'high-pass', order: 2, cornerHz: bassBySetting(30, 52, 90) }],
  }),
  'loudness only': fullRange({
    volumeDependent: [
      { kind: 'low shelf', frequencyHz: 90, gainDb: { '12': 8, '16': 4, '20': 0 } },
      { kind: 'high shelf', frequencyHz: 9000, gainDb: { '12': 3, '16': 1.5, '20': 0 } },
    ],
  }),
  'limiter before the volume control': fullRange({ limiterBefore: { thresholdDbFs: -20 } }),
  'limiter after the volume control': fullRange({ limiterAfter: { thresholdVoltsRms: 0.5 } }),
  'linkwitz-riley 2': bandSplit({ family: 'linkwitz-riley', order: 2, cornerHz: 3000 }),
  'linkwitz-riley 4': bandSplit({ family: 'linkwitz-riley', order: 4, cornerHz: 300 }),
  'linkwitz-riley 8': bandSplit({ family: 'linkwitz-riley', order: 8, cornerHz: 1200 }),
  'butterworth 1': bandSplit({ family: 'butterworth', order: 1, cornerHz: 2000 }),
  'butterworth 2': bandSplit({ family: 'butterworth', order: 2, cornerHz: 150 }),
  'butterworth 3': bandSplit({ family: 'butterworth', order: 3, cornerHz: 500 }),
  'butterworth 4': bandSplit({ family: 'butterworth', order: 4, cornerHz: 100 }),
  'bessel 2': bandSplit({ family: 'bessel', order: 2, cornerHz: 400 }),
  'bessel 4': bandSplit({ family: 'bessel', order: 4, cornerHz: 2500 }),
  'subwoofer tap': {
    ...fullRange(),
    taps: [
      FRONT_PAIR[0],
      {
        id: 'subwoofer',
        side: 'both',
        position: 'subwoofer',
        crossover: [{ side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz: 90 }],
      },
    ],
  },
  'delay and inversion': {
    ...fullRange(),
    taps: [FRONT_PAIR[0], { ...FRONT_PAIR[1], delayMicroseconds: 412.3, inverted: true }],
  },
  'dash late and inverted': bandSplit({
    family: 'linkwitz-riley',
    order: 2,
    cornerHz: 3000,
    dash: { delayMicroseconds: 100, inverted: true },
  }),
  'clip before the volume control': fullRange({ clipBeforeDbFs: -4 }),
  'rail clip': fullRange({}, INTO_CLIPPING),
  'one leg taken for the pair': fullRange({ connection: 'one leg', statedConnection: 'pair' }, INTO_CLIPPING),
  'fixed level': fullRange({ volume: { atSetting: 30, voltsRms: 2, dbPerStep: 0 } }),
  'loss of 8 dB at 50 Hz': {
    ...fullRange({
      volumeDependent: [
        { kind: 'low shelf', frequencyHz: 110, gainDb: { '20': 0, '24': -2.1, '28': -5.2, '32': -8.25 } },
      ],
      volume: { atSetting: 32, voltsRms: 8, dbPerStep: 1 },
      railVoltsPeak: 12.2,
    }),
    settings: [12, 16, 20, 24, 28, 32],
  },
} satisfies Record<string, ScenarioInput>;

export const exampleNames = Object.keys(exampleInputs) as ExampleName[];
