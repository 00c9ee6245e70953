import { beforeAll, describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import { measureSession } from '../../src/measure/measure-session.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { memorySound } from '../memory-sound.ts';
import { thrown } from '../thrown.ts';
import { knock } from './spoilt.ts';

const SETTINGS = [12, 16, 20, 26];
const sampleRateHz = 48_000;
/** Each setting recorded by itself, so that tests can lay them into one file in any order. */
let takes: Map<number, Float32Array[]>;
beforeAll(() => {
  const scenario = exampleScenario('flat full range', { settings: SETTINGS, track: 'response only' });
  const recordings = [...simulate(scenario).recordings()];
  takes = new Map(SETTINGS.map((setting, i) => [setting, recordings[i].channels]));
});

type Part =
  | { readonly setting: number; readonly seconds?: number }
  | { readonly noiseSeconds: number; readonly kind: 'nothing' | 'talk' };

/** One file of takes, whole or broken off, with what lies between. */
function longFile(parts: readonly Part[]): Float32Array[] {
  const random = seededRandom(9);
  const pieces = parts.map((part): Float32Array[] => {
    if ('setting' in part)
      return takes
        .get(part.setting)!
        .map((channel) =>
          part.seconds === undefined ? channel : channel.slice(0, part.seconds * sampleRateHz),
        );
    const heard = part.kind === 'talk' ? talk(part.noiseSeconds) : null;
    return [0, 1].map(() => {
      const samples = heard?.slice() ?? new Float64Array(Math.round(part.noiseSeconds * sampleRateHz));
      random.addGaussian(samples, { sigma: 1e-5 });
      return Float32Array.from(samples);
    });
  });
  return [0, 1].map((channel) => {
    const joined = new Float32Array(pieces.reduce((sum, piece) => sum + piece[channel].length, 0));
    let at = 0;
    for (const piece of pieces) {
      joined.set(piece[channel], at);
      at += piece[channel].length;
    }
    return joined;
  });
}

/** Bursts of a gliding, vowel-like sound of four a second. */
function talk(seconds: number): Float64Array {
  let phase = 0;
  const samples = new Float64Array(Math.round(seconds * sampleRateHz));
  for (let n = 0; n < samples.length; n++) {
    const t = n / sampleRateHz;
    phase += (2 * Math.PI * (140 + 40 * Math.sin(2 * Math.PI * 0.7 * t))) / sampleRateHz;
    const syllable = Math.max(0, Math.sin(2 * Math.PI * 4 * t)) ** 2;
    if (syllable > 0)
      samples[n] =
        0.1 * syllable * (Math.sin(phase) + 0.6 * Math.sin(4 * phase) + 0.4 * Math.sin(17 * phase));
  }
  return samples;
}

function measured(
  parts: readonly Part[],
  settings: readonly number[] = SETTINGS,
  strike: (channels: Float32Array[]) => void = () => {},
) {
  const channels = longFile(parts);
  strike(channels);
  const session = resolveSession(
    {
      taps: ['front-left', 'front-right'],
      recordings: [{ file: 'all.wav', settings: [...settings] }],
    },
    { folderFiles: ['all.wav'] },
  );
  const sound = memorySound({ name: 'all.wav', sampleRateHz, channels });
  return measureSession({ session, open: () => sound });
}
const reasons = (result: ReturnType<typeof measured>) => result.notes.map(({ reason }) => reason);
const settingsOf = (result: ReturnType<typeof measured>) => result.facts.map(({ setting }) => setting);

describe('one long file', () => {
  test('a track stopped after its opening sweeps and begun anew is a false start, and spoils neither settings nor arrivals', () => {
    const result = measured([
      { setting: 12 },
      { setting: 16, seconds: 17.6 },
      { setting: 16 },
      { setting: 20 },
      { setting: 26 },
    ]);
    expect(settingsOf(result)).toEqual(SETTINGS);
    expect(reasons(result)).toMatchObject([{ code: 'track begun anew' }]);
    const [left, right] = result.measurements.filter(({ setting }) => setting === 16);
    expect(left.timeOrigin).toBe(right.timeOrigin);
    expect(left.repeats.count).toBe(1);
  });

  test('with talk, knocks, a minute of nothing and a broken-off track between gives its takes in order', () => {
    const parts: Part[] = [
      { noiseSeconds: 5, kind: 'talk' },
      { setting: 12 },
      { noiseSeconds: 60, kind: 'nothing' },
      { setting: 16, seconds: 11 },
      { noiseSeconds: 3, kind: 'talk' },
      { setting: 16 },
      { setting: 20 },
      { noiseSeconds: 8, kind: 'talk' },
      { setting: 26 },
    ];
    const result = measured(parts);
    expect(settingsOf(result)).toEqual(SETTINGS);
    expect(reasons(result)).toMatchObject([{ code: 'track broken off' }]);
  });

  test('with a repeated track is matched by level, and says so', () => {
    const result = measured([12, 16, 16, 20, 26].map((setting) => ({ setting })));
    expect(settingsOf(result)).toEqual([12, 16, 16, 20, 26]);
    expect(reasons(result)).toMatchObject([
      {
        code: 'matched by level',
        planned: SETTINGS,
        countFits: false,
        takes: [12, 16, 16, 20, 26].map((setting) => ({ setting })),
      },
    ]);
  });

  test('in another order than the session has is matched by level, and says so', () => {
    const result = measured([26, 12, 20, 16].map((setting) => ({ setting })));
    expect(settingsOf(result)).toEqual([26, 12, 20, 16]);
    expect(reasons(result)).toMatchObject([{ code: 'matched by level', planned: SETTINGS, countFits: true }]);
  });

  test('with a take missing that its uneven steps do not tell is refused with what to write, and claims nothing', () => {
    const error = thrown(() =>
      measured([{ setting: 12 }, { setting: 16 }, { setting: 20 }], [12, 16, 20, 24]),
    );
    expect(error.code).toBe('settings');
    expect(error.parts.found).toMatch(/12, 16, 20 as well as 16, 20, 24/);
    expect(error.parts.nextStep).toMatch(/list the settings/);
  });

  test('knocks between the takes change nothing', () => {
    const parts: Part[] = [{ setting: 12 }, { noiseSeconds: 4, kind: 'nothing' }, { setting: 16 }];
    const struck = measured(parts, [12, 16], (channels) => {
      for (const seconds of [22.5, 23.2, 24.1])
        knock(channels[0], { sampleRateHz, atSeconds: seconds, peak: 0.5, ringsHz: 90 });
    });
    const quiet = measured(parts, [12, 16]);
    expect(settingsOf(struck)).toEqual([12, 16]);
    expect(struck.facts.flatMap(({ channels }) => channels.flatMap(({ knocks }) => knocks))).toEqual([]);
    expect(struck.measurements.map(({ left }) => left)).toEqual(quiet.measurements.map(({ left }) => left));
  });
});
