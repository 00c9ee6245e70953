import { measureSession } from '../../src/measure/measure-session.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import type { Verification } from '../../src/model/verification.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { verify } from '../../src/verify/verify.ts';
import { analysedScenario } from '../end-to-end/analysed-scenario.ts';
import { memorySound } from '../memory-sound.ts';

const SETTINGS = [20, 32];
const STEP = { dbPerStep: 1 } as const;
/** Bass that the radio takes away; the converter puts it back for the subwoofer only. */
const LOSS = {
  kind: 'low shelf',
  frequencyHz: 160,
  gainDb: { '20': 0, '24': -2, '28': -5, '32': -8 },
} as const;
/** Of the radio at setting 32. */
export const RADIO_VOLTS = 8;
/** Closed form: V = sqrt(P R), all of it at setting 32. */
export const FRONT_VOLTS = Math.sqrt(75 * 4);
export const SUB_VOLTS = Math.sqrt(500 * 4);

const factory: ScenarioInput = {
  name: 'factory outputs',
  settings: [12, 16, ...SETTINGS],
  supply: { volts: 14.4 },
  taps: (['left', 'right'] as const).map((side) => ({
    id: `front-${side}`,
    side,
    position: 'front',
    volume: { atSetting: 32, voltsRms: RADIO_VOLTS, ...STEP },
    railVoltsPeak: 12.6,
    volumeDependent: [LOSS],
  })),
  equipment: {
    converter: {
      inputs: 4,
      inputLimitVoltsRms: 20,
      summing: 'any',
      restoration: { kind: 'dynamic', maximumDb: 12 },
    },
    amplifiers: [
      {
        name: 'four-channel',
        feeds: ['front'],
        channels: 4,
        ratedWatts: 75,
        highPass: { rangeHz: [50, 200], slopeDbPerOctave: 24 },
      },
      {
        name: 'mono',
        feeds: ['subwoofer'],
        ratedWatts: 500,
        lowPass: { rangeHz: [50, 200], slopeDbPerOctave: 24 },
      },
    ],
  },
};

/** Analysed once for all tests. */
export const plan: Results = analysedScenario(resolveScenario(factory)).results;

const filter = (side: 'high-pass' | 'low-pass', cornerHz = 80) =>
  ({ side, family: 'linkwitz-riley', order: 4, cornerHz }) as const;

export interface Install {
  readonly left?: TapInput;
  readonly right?: TapInput;
  readonly sub?: TapInput;
  readonly track?: 'full' | 'response only';
  readonly settings?: readonly number[];
  /** Only the subwoofer was recorded. */
  readonly onlySub?: boolean;
}

/** The amplifier's outputs as planned, with what an installer may have left otherwise. */
export function installScenario({
  left,
  right,
  sub,
  track = 'response only',
  settings = SETTINGS,
  onlySub = false,
}: Install): ScenarioInput {
  const front = (side: 'left' | 'right'): TapInput => ({
    id: `front-${side}`,
    side,
    position: 'front',
    volume: { atSetting: 32, voltsRms: FRONT_VOLTS, ...STEP },
    volumeDependent: [LOSS],
    crossover: [filter('high-pass')],
    railVoltsPeak: FRONT_VOLTS * Math.SQRT2 * 1.1,
  });
  return {
    name: 'after the install',
    settings,
    track,
    seed: 7,
    recorder: { padRatio: 60 },
    taps: [
      ...(onlySub
        ? []
        : [
            { ...front('left'), ...left },
            { ...front('right'), ...right },
          ]),
      {
        id: 'subwoofer',
        side: 'both',
        position: 'subwoofer',
        volume: { atSetting: 32, voltsRms: SUB_VOLTS, ...STEP },
        crossover: [filter('low-pass')],
        railVoltsPeak: SUB_VOLTS * Math.SQRT2 * 1.1,
        ...sub,
      },
    ],
  };
}

export { LOSS };

export function verified(install: Install): Verification {
  const simulation = simulate(resolveScenario(installScenario(install)));
  const sounds = new Map(
    Array.from(simulation.recordings(), ({ file, sampleRateHz, channels }) => [
      file,
      memorySound({ name: file, sampleRateHz, channels }),
    ]),
  );
  const session = resolveSession(simulation.session, { folderFiles: [...sounds.keys()] });
  const { measurements } = measureSession({ session, open: (file) => sounds.get(file)! });
  return verify({ plan, session, measurements, notes: [], toolVersion: 'test', inputs: [] });
}
