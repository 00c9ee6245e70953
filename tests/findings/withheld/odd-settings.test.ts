import { describe, expect, test } from 'vitest';
import { oddSettingDoubts } from '../../../src/findings/withheld/odd-settings.ts';
import { movedEarlier } from '../../../src/measure/sweeps/delay-between.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import type { FrequencyResponse } from '../../../src/model/response.ts';
import { measurementsOf, pass, sessionOf, shelf, tapOf } from '../synthetic.ts';

const SETTINGS = [8, 14, 20, 26, 32, 38];
const TAPS = [tapOf(), tapOf({ id: 'rear-left', position: 'rear' })];
const gainDb = (setting: number) => setting - 40;
const full = {
  gainDb,
  snrDb: 60,
  filters: (setting: number) => [shelf(80, -Math.max(0, setting - 18) * 0.5)],
};
const low = { gainDb, snrDb: 60, filters: () => [pass('low-pass', 85)] };
const of = (radio: Parameters<typeof measurementsOf>[0]['radio'], tapId = 'front-left') =>
  measurementsOf({ radio, settings: SETTINGS, tapId, file: 'take.wav' });

function doubts(measurements: readonly TapMeasurement[]) {
  return oddSettingDoubts({ session: sessionOf(TAPS), measurements }).map(
    ({ kind, reason, tapIds, settings }) => ({
      kind,
      code: typeof reason === 'string' ? reason : reason.code,
      tapIds,
      settings,
    }),
  );
}

const exchangedFrom = (from: number) => {
  const [front, rear] = [of(full), of(low, 'rear-left')];
  return SETTINGS.flatMap((setting, i) =>
    setting < from
      ? [front[i], rear[i]]
      : [
          { ...rear[i], tapId: 'front-left' },
          { ...front[i], tapId: 'rear-left' },
        ],
  );
};
const turned = ({ real, imag, ...rest }: FrequencyResponse): FrequencyResponse => ({
  ...rest,
  real: real.map((re) => -re),
  imag: imag.map((im) => -im),
});

describe('a setting at which a tap is not what it is at its others', () => {
  test('leads of two outputs exchanged from one setting up: the fewer are in doubt, and all where they are half', () => {
    const code = 'another band than at other settings';
    for (const [from, settings] of [
      [32, [32, 38]],
      [26, null],
    ] as const)
      expect(doubts(exchangedFrom(from))).toEqual([
        { kind: 'take', code, tapIds: ['front-left'], settings },
        { kind: 'take', code, tapIds: ['rear-left'], settings },
      ]);
  });

  test('leads turned at one setting', () => {
    const measurements = of(full).map((one) =>
      one.setting === 26 ? { ...one, left: turned(one.left), right: turned(one.right) } : one,
    );
    expect(doubts(measurements)).toEqual([
      { kind: 'take', code: 'opposite polarity to other settings', tapIds: ['front-left'], settings: [26] },
    ]);
  });

  test('a recorder turned up in the middle shows on all taps alike, and takes the volts of all', () => {
    const jumping = (from: number) => ({
      ...full,
      gainDb: (setting: number) => setting - 40 + (setting >= from ? 6 : 0),
    });
    const both = (radio: typeof full) => [...of(radio), ...of(radio, 'rear-left')];
    expect(doubts(both(jumping(26)))).toEqual([
      { kind: 'volts', code: 'level jumps on all taps', tapIds: ['front-left', 'rear-left'], settings: null },
    ]);
    // One tap alone may have a law of its own; and many laws begin steeply.
    expect(doubts([...of(jumping(26)), ...of(full, 'rear-left')])).toEqual([]);
    expect(doubts(both(jumping(14)))).toEqual([]);
  });
});

test.each([
  ['a shelf that deepens', full],
  [
    'a high-pass of order 4 that climbs to 200 Hz',
    {
      ...full,
      filters: (setting: number) => [pass('high-pass', 20 + 5 * (setting - 8), { family: 'butterworth' })],
    },
  ],
  [
    'a subwoofer output whose high-pass climbs',
    {
      ...low,
      filters: (setting: number) => [
        pass('low-pass', 85),
        pass('high-pass', 20 + 3 * (setting - 8), { family: 'butterworth', order: 2 }),
      ],
    },
  ],
  [
    'loudness at low settings',
    { ...full, filters: (setting: number) => [shelf(100, Math.max(0, 20 - setting))] },
  ],
  [
    'a law that bends',
    { ...full, gainDb: (setting: number) => (setting < 20 ? 2 * setting - 60 : setting - 40) },
  ],
  ['noise', { ...full, snrDb: 30 }],
  [
    'treble that sinks into the noise at low settings',
    { ...full, snrDb: 22, filters: () => [pass('low-pass', 4000, { order: 2 })] },
  ],
] as const)('%s raises no doubt', (_, radio) => {
  expect(doubts([...of(radio), ...of(radio, 'rear-left')])).toEqual([]);
});

describe('every setting against the others', () => {
  const later = (one: TapMeasurement, seconds: number): TapMeasurement => ({
    ...one,
    left: movedEarlier(one.left, -seconds),
    right: movedEarlier(one.right, -seconds),
  });
  const arrival = (settings: number[] | null = null) => ({
    kind: 'arrival',
    code: 'arrival differs between settings',
    tapIds: ['rear-left'],
    settings,
  });

  test('one sample more at each setting on one channel is told, and takes the arrival of that tap alone', () => {
    const rear = of(full, 'rear-left').map((one, i) => later(one, i / 48_000));
    expect(doubts([...of(full), ...rear])).toEqual([arrival()]);
  });

  test('samples that one channel lost at one setting, with the size', () => {
    const rear = of(full, 'rear-left').map((one, i) => later(one, i === 3 ? -40 / 48_000 : 0.002));
    const measurements = [...of(full), ...rear];
    expect(doubts(measurements)).toEqual([arrival()]);
    const [{ reason }] = oddSettingDoubts({ session: sessionOf(TAPS), measurements });
    expect(reason).toMatchObject({ settings: [26], microseconds: 2830 });
  });

  test('takes that are late as a whole, and a delay that stays, raise no doubt', () => {
    const front = of(full).map((one, i) => later(one, i * 1e-3));
    const rear = of(full, 'rear-left').map((one, i) => later(one, 0.005 + i * 1e-3));
    expect(doubts([...front, ...rear])).toEqual([]);
  });

  // What a cut of the bass does to phases reaches up into the middle, and weighs on a door more than on a dash beside it.
  test('a cut of the bass that follows the volume moves no arrival of a door against a dash', () => {
    const cut = (setting: number) => shelf(140, -Math.max(0, setting - 16) * 0.7);
    const split = (side: 'high-pass' | 'low-pass') => ({
      ...full,
      filters: (setting: number) => [cut(setting), pass(side, 2400)],
    });
    expect(doubts([...of(split('high-pass')), ...of(split('low-pass'), 'rear-left')])).toEqual([]);
  });

  test('volume that followed the speed at one setting stands off the line of its neighbours', () => {
    const uneven = { ...full, gainDb: (setting: number) => setting - 40 + (setting === 20 ? 3.5 : 0) };
    const code = 'level off the line of its neighbours';
    expect(doubts([...of(uneven), ...of(uneven, 'rear-left')])).toEqual([
      { kind: 'setting', code, tapIds: ['front-left', 'rear-left'], settings: [20] },
    ]);
  });

  test('laws that bend, have a knee or stand still at their ends raise no doubt', () => {
    for (const law of [
      (setting: number) => -40 * (1 - setting / 38) ** 2,
      (setting: number) => (setting < 20 ? 2 * (setting - 20) : 0.6 * (setting - 20)) - 20,
      (setting: number) => Math.max(-30, Math.min(-8, 1.5 * (setting - 32))),
      (setting: number) => 12 * Math.sin(((setting - 23) / 15) * (Math.PI / 2)) - 20,
    ]) {
      const bent = { ...full, gainDb: law };
      expect(doubts([...of(bent), ...of(bent, 'rear-left')])).toEqual([]);
    }
  });
});
