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
/** As high as a filter of the slowest recorder's rate can be. */
const WHOLE_BAND_HZ = 18_000;
export type UnusualKind = (typeof UNUSUAL_KINDS)[number];

/** A random system with one of these in it. */
export function madeUnusual(
  input: ScenarioInput,
  of: { kind: UnusualKind; random: Random; settings: readonly number[]; topVoltsRms: number },
): ScenarioInput {
  const { kind, random, settings, topVoltsRms } = of;
  const everyTap = (change: TapInput) => ({
    ...input,
    taps: input.taps.map((tap) => ({ ...tap, ...change })),
  });
  const recorder = (change: ScenarioInput['recorder']) => ({
    ...input,
    recorder: { ...input.recorder, ...change },
  });
  switch (kind) {
    case 'peaking bass cut': {
      const deepest = random.between([-12, -3]);
      const gainDb = Object.fromEntries(
        settings.map((setting, i) => [`${setting}`, i < 3 ? 0 : deepest * (i === 3 ? 0.5 : 1)]),
      );
      const frequencyHz = logarithmic(random, [40, 100]);
      return everyTap({
        volumeDependent: [{ kind: 'peak', frequencyHz, q: random.between([0.6, 2]), gainDb }],
      });
    }
    case 'all-pass': {
      const order = pick(random, [1, 2] as const);
      const allPass = [{ order, cornerHz: logarithmic(random, [80, 3000]), q: random.between([0.5, 1.5]) }];
      return { ...input, taps: input.taps.map((tap, i) => (i === 0 ? tap : { ...tap, allPass })) };
    }
    case 'compressor up to the middle':
      return everyTap({
        limiterBefore: null,
        limiterAfter: {
          belowHz: logarithmic(random, [200, 500]),
          thresholdVoltsRms: topVoltsRms * ratioOf(random.between([-24, -8])),
          releaseSeconds: logarithmic(random, [0.1, 0.6]),
        },
      });
    case 'limiter over the whole band':
      return everyTap({
        limiterBefore: null,
        limiterAfter: {
          belowHz: WHOLE_BAND_HZ,
          thresholdVoltsRms: topVoltsRms * ratioOf(random.between([-24, -4])),
          attackSeconds: logarithmic(random, [0.001, 0.02]),
          releaseSeconds: logarithmic(random, [0.1, 0.6]),
        },
      });
    case 'output transformer':
      return everyTap({
        limiterBefore: null,
        limiterAfter: null,
        // Full at 20 Hz for a drive of -12 dB and less: 55 Hz is clean up to there, 25 Hz is not.
        transformerVoltsAt20Hz: topVoltsRms * ratioOf(random.between([-14, -4])),
      });
    case 'hum': {
      const frequencyHz = chance(random, 0.5) ? 50 : 60;
      const voltsRms = topVoltsRms * ratioOf(random.between([-80, -62]));
      return everyTap({ lines: [{ frequencyHz, voltsRms, harmonics: 8 }] });
    }
    case 'corner of the recorder, with loop take':
      return {
        ...recorder({
          couplingHz: logarithmic(random, [12, 60]),
          couplingOrder: pick(random, [1, 2] as const),
        }),
        files: { ...input.files, loop: true },
      };
    case 'lost samples':
      return {
        ...recorder({
          dropouts: [
            {
              file: `setting-${pick(random, settings)}.wav`,
              atSeconds: random.between([3, 38]),
              samples: Math.round(logarithmic(random, [2, 3000])),
            },
          ],
        }),
        files: { ...input.files, kind: 'per setting' },
      };
    case 'clock that wobbles':
      return recorder({
        clockWobble: { ppm: logarithmic(random, [0.5, 20]), hz: logarithmic(random, [0.05, 5]) },
      });
  }
}
