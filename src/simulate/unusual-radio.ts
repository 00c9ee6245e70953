import { ratioOf } from '../dsp/decibels.ts';
import type { Random } from '../dsp/random.ts';
import { chance, logarithmic, pick } from './draw.ts';
import type { ScenarioInput, TapInput } from './scenario.ts';

/** What few radios and recorders have, and what conclusions break on. */
export const UNUSUAL_KINDS = [
  'peaking bass cut',
  'all-pass',
  'compressor up to the middle',
  'output transformer',
  'hum',
  'corner of the recorder, with loop take',
  'lost samples',
  'clock that wobbles',
  'limiter over the whole band',
] as const;
export type UnusualKind = (typeof UNUSUAL_KINDS)[number];

/** As high as a filter of the slowest recorder's rate can be. */
const WHOLE_BAND_HZ = 18_000;

interface Drawing {
  readonly random: Random;
  readonly settings: readonly number[];
  readonly topVoltsRms: number;
}

/** A random system with one of these in it. */
export function madeUnusual(
  input: ScenarioInput,
  { kind, ...drawing }: Drawing & { kind: UnusualKind },
): ScenarioInput {
  return MAKERS[kind](input, drawing);
}

const MAKERS: Readonly<Record<UnusualKind, (input: ScenarioInput, drawing: Drawing) => ScenarioInput>> = {
  'peaking bass cut': (input, drawing) => withEveryTap(input, peakingCut(drawing)),
  'all-pass': withAllPass,
  'compressor up to the middle': (input, { random, topVoltsRms }) =>
    withEveryTap(input, {
      limiterBefore: null,
      limiterAfter: {
        belowHz: logarithmic(random, [200, 500]),
        thresholdVoltsRms: topVoltsRms * ratioOf(random.between([-24, -8])),
        releaseSeconds: logarithmic(random, [0.1, 0.6]),
      },
    }),
  'limiter over the whole band': (input, { random, topVoltsRms }) =>
    withEveryTap(input, {
      limiterBefore: null,
      limiterAfter: {
        belowHz: WHOLE_BAND_HZ,
        thresholdVoltsRms: topVoltsRms * ratioOf(random.between([-24, -4])),
        attackSeconds: logarithmic(random, [0.001, 0.02]),
        releaseSeconds: logarithmic(random, [0.1, 0.6]),
      },
    }),
  'output transformer': (input, { random, topVoltsRms }) =>
    withEveryTap(input, {
      limiterBefore: null,
      limiterAfter: null,
      // Full at 20 Hz for a drive of -12 dB and less: 55 Hz is clean up to there, 25 Hz is not.
      transformerVoltsAt20Hz: topVoltsRms * ratioOf(random.between([-14, -4])),
    }),
  hum: (input, { random, topVoltsRms }) => {
    const frequencyHz = chance(random, 0.5) ? 50 : 60;
    const voltsRms = topVoltsRms * ratioOf(random.between([-80, -62]));
    return withEveryTap(input, { lines: [{ frequencyHz, voltsRms, harmonics: 8 }] });
  },
  'corner of the recorder, with loop take': (input, { random }) => ({
    ...withRecorder(input, {
      couplingHz: logarithmic(random, [12, 60]),
      couplingOrder: pick(random, [1, 2] as const),
    }),
    files: { ...input.files, loop: true },
  }),
  'lost samples': (input, drawing) => ({
    ...withRecorder(input, { dropouts: [dropout(drawing)] }),
    files: { ...input.files, kind: 'per setting' },
  }),
  'clock that wobbles': (input, { random }) =>
    withRecorder(input, {
      clockWobble: { ppm: logarithmic(random, [0.5, 20]), hz: logarithmic(random, [0.05, 5]) },
    }),
};

function withEveryTap(input: ScenarioInput, change: TapInput): ScenarioInput {
  return { ...input, taps: input.taps.map((tap) => ({ ...tap, ...change })) };
}

function withRecorder(input: ScenarioInput, change: ScenarioInput['recorder']): ScenarioInput {
  return { ...input, recorder: { ...input.recorder, ...change } };
}

function peakingCut({ random, settings }: Drawing): TapInput {
  const deepest = random.between([-12, -3]);
  const gainDb = Object.fromEntries(
    settings.map((setting, i) => [`${setting}`, i < 3 ? 0 : deepest * (i === 3 ? 0.5 : 1)]),
  );
  const frequencyHz = logarithmic(random, [40, 100]);
  return { volumeDependent: [{ kind: 'peak', frequencyHz, q: random.between([0.6, 2]), gainDb }] };
}

/** On every tap but the first, so that sums suffer. */
function withAllPass(input: ScenarioInput, { random }: Drawing): ScenarioInput {
  const order = pick(random, [1, 2] as const);
  const allPass = [{ order, cornerHz: logarithmic(random, [80, 3000]), q: random.between([0.5, 1.5]) }];
  return { ...input, taps: input.taps.map((tap, i) => (i === 0 ? tap : { ...tap, allPass })) };
}

function dropout({ random, settings }: Drawing) {
  return {
    file: `setting-${pick(random, settings)}.wav`,
    atSeconds: random.between([3, 38]),
    samples: Math.round(logarithmic(random, [2, 3000])),
  };
}
