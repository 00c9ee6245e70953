import { describe, expect, test } from 'vitest';
import { highShelfSections, peakingSections } from '../../../src/dsp/filter-prototype.ts';
import { findAll } from '../../../src/findings/find-all.ts';
import { oddSettingDoubts } from '../../../src/findings/withheld/odd-settings.ts';
import { findingsOf } from '../../../src/model/finding.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { type Filter, measurementsOf, pass, sessionOf, shelf, tapOf } from '../synthetic.ts';

const SETTINGS = [8, 14, 20, 26, 32, 38];
const session = sessionOf([tapOf()]);
const treble = (gainDb: number): Filter => ({ sections: highShelfSections({ gainDb }), cornerHz: 5000 });
const peak = (cornerHz: number, gainDb: number): Filter => ({
  sections: peakingSections({ gainDb, q: 1 }),
  cornerHz,
});
const of = (
  filters: (setting: number) => readonly Filter[],
  { snrDb = 60, responseTrackOnly = false } = {},
) =>
  measurementsOf({
    radio: { gainDb: (setting) => setting - 40, snrDb, filters, responseTrackOnly },
    settings: SETTINGS,
    tapId: 'front-left',
    file: 'take.wav',
  });
const odd = (filters: (setting: number) => readonly Filter[], quality?: Parameters<typeof of>[1]) =>
  oddSettingDoubts({ session, measurements: of(filters, quality) })
    .filter(({ reason }) => codeOf(reason) === 'tone differs from its neighbours')
    .flatMap(({ settings }) => settings);
/** A radio that takes 8 dB of bass between 20 and 38, with something more at some settings. */
const cut = (setting: number) => shelf(80, (-8 * Math.max(0, setting - 20)) / 18);
const moved =
  (filter: Filter, ...at: number[]) =>
  (setting: number) =>
    at.includes(setting) ? [cut(setting), filter] : [cut(setting)];

describe('a tone control that was moved for one take is told at that setting', () => {
  test.each<readonly [string, Filter, readonly number[]]>([
    ['bass up by 6 dB at a low setting', shelf(100, 6), [14]],
    ['bass down by 6 dB at a low setting', shelf(100, -6), [14]],
    ['treble up by 2 dB', treble(2), [20]],
    ['treble down by 6 dB', treble(-6), [32]],
    ['the middle up by 3 dB', peak(2500, 3), [26]],
    ['treble at two settings apart', treble(4), [14, 26]],
  ])('%s', (_, filter, settings) => {
    expect(odd(moved(filter, ...settings))).toEqual(settings);
  });

  test('with where it differs most and by how much, and whether all from there up may differ', () => {
    const told = (filters: (setting: number) => readonly Filter[]) =>
      oddSettingDoubts({ session, measurements: of(filters) }).find(
        ({ reason }) => codeOf(reason) === 'tone differs from its neighbours',
      )?.reason;
    expect(told(moved(peak(100, 6), 14))).toMatchObject({
      settings: [14],
      atHz: expect.closeTo(100, -1),
      offDb: expect.closeTo(6, 0),
      fromThereUp: false,
    });
    expect(told((setting) => (setting === 38 ? [treble(-4)] : []))).toMatchObject({
      settings: [38],
      offDb: expect.closeTo(-4, 0),
      fromThereUp: false,
    });
    expect(told(moved(shelf(100, 6), 26))).toMatchObject({ settings: [26], fromThereUp: true });
  });

  test('is looked for from 31.6 Hz to 10 kHz', () => {
    const narrow = (cornerHz: number) =>
      odd(moved({ sections: peakingSections({ gainDb: 6, q: 4 }), cornerHz }, 14));
    expect([narrow(36), narrow(9000)]).toEqual([[14], [14]]);
    expect([narrow(20), narrow(15_000)]).toEqual([[], []]);
  });

  test('never by what noise makes of a subwoofer output above its band, or of a dash output below its own', () => {
    for (const filter of [pass('low-pass', 120), pass('high-pass', 5000)])
      for (const snrDb of [45, 60, 75]) expect(odd(() => [filter], { snrDb })).toEqual([]);
    // Within its band a dash output still tells.
    expect(odd((setting) => [pass('high-pass', 1500), ...(setting === 20 ? [treble(3)] : [])])).toEqual([20]);
  });

  test('at the ends, where the others agree', () => {
    const only = (filter: Filter, ...at: number[]) =>
      odd((setting) => (at.includes(setting) ? [filter] : []));
    expect(only(shelf(100, 6), 38)).toEqual([38]);
    expect(only(treble(-4), 38)).toEqual([38]);
    expect(only(treble(4), 32, 38)).toEqual([32, 38]);
    expect(only(pass('high-pass', 80), 8)).toEqual([8]);
    expect(only(treble(-4), 8, 14)).toEqual([8, 14]);
  });

  test('treble at the ends, whatever a radio does with the bass', () => {
    for (const filter of [treble(-4), treble(4), pass('low-pass', 6000, { order: 2 })])
      expect(odd(moved(filter, 38))).toEqual([38]);
    expect(odd(moved(treble(-4), 8))).toEqual([8]);
    // A take of another car.
    expect(
      odd((setting) => (setting === 38 ? [pass('high-pass', 150), pass('low-pass', 6000)] : [cut(setting)])),
    ).toEqual([38]);
  });

  test('where the settings on both sides differ too, it may be one take or all from there up', () => {
    for (const settings of [[26], [26, 32, 38]])
      expect(odd(moved(shelf(100, 6), ...settings))).toEqual([26, 32, 38]);
  });

  test('nothing is said of the radio from such takes', () => {
    const bassOf = (setting: number) =>
      findingsOf(findAll({ session, measurements: of(moved(shelf(100, 6), setting)) }), 'bass-change')[0];
    expect(bassOf(14).changes.map(({ setting }) => setting)).toEqual([8, 20, 26, 32, 38]);
    expect(bassOf(26)).toMatchObject({
      verdict: 'cannot be told',
      reason: { code: 'steady only so far', upToSetting: 20, openSettings: [26, 32, 38] },
    });
  });
});

test.each<readonly [string, (setting: number) => readonly Filter[], number]>([
  ['a shelf that deepens', (setting) => [cut(setting)], 60],
  ['a peak that deepens at once', (setting) => [peak(60, setting < 26 ? 0 : setting < 32 ? -5 : -10)], 60],
  [
    'a high-pass that climbs, and rings',
    (setting) => [
      pass('high-pass', 20 + 3 * (setting - 8), { family: 'butterworth' }),
      peak(26 + 4 * (setting - 8), 3),
    ],
    60,
  ],
  [
    'a high-pass that climbs into the middle at the loudest settings',
    (setting) => [
      pass('high-pass', 30 + 15 * Math.max(0, setting - 20), { family: 'butterworth', order: 2 }),
    ],
    60,
  ],
  ['treble that falls with the volume', (setting) => [treble(-Math.max(0, setting - 26) / 3)], 60],
  ['bass that rises with the volume', (setting) => [shelf(90, Math.max(0, setting - 26) / 3)], 60],
  [
    'loudness in bass and treble',
    (setting) => [shelf(100, Math.max(0, 20 - setting)), treble(Math.max(0, 17 - setting))],
    60,
  ],
  [
    'loudness at the lowest setting alone',
    (setting) => (setting === 8 ? [shelf(100, 8), treble(3)] : []),
    60,
  ],
  ['loudness, then a cut', (setting) => [shelf(100, Math.max(0, 20 - setting)), cut(setting)], 60],
  ['fixed tone controls', (setting) => [shelf(100, 9), treble(-6), cut(setting)], 60],
  ['noise', (setting) => [cut(setting)], 25],
  ['noise that the treble sinks into', () => [pass('low-pass', 3000, { order: 2 })], 20],
])('%s raises no doubt', (_, filters, snrDb) => {
  expect(odd(filters, { snrDb })).toEqual([]);
});

describe('a cut that the highest setting alone shows', () => {
  const bassOf = (filters: (setting: number) => readonly Filter[]) =>
    findingsOf(findAll({ session, measurements: of(filters) }), 'bass-change')[0];
  const lone = ({ doubts = [] }: ReturnType<typeof bassOf>) =>
    doubts.some(({ reason }) => codeOf(reason) === 'one take alone shows the cut');

  test('is told as one that a tone control may have made, with the setting that settles it', () => {
    const finding = bassOf((setting) => (setting === 38 ? [pass('high-pass', 80, { order: 2 })] : []));
    expect(finding).toMatchObject({ verdict: 'falls with volume', recordNext: 35 });
    expect(lone(finding)).toBe(true);
  });

  test('is the radio’s where another setting shows it too, or as much as a volume control takes', () => {
    expect(lone(bassOf((setting) => [shelf(90, setting === 38 ? -12 : setting === 32 ? -2 : 0)]))).toBe(
      false,
    );
    expect(lone(bassOf((setting) => [shelf(90, setting === 38 ? -4 : 0)]))).toBe(false);
  });

  test('is the radio’s where a second take at that setting shows it', () => {
    const measurements = of((setting) => (setting === 38 ? [shelf(90, -12)] : [])).map((one) => ({
      ...one,
      repeats: { count: one.setting === 38 ? 2 : 1, spreadDb: 0.01 },
    }));
    expect(lone(findingsOf(findAll({ session, measurements }), 'bass-change')[0])).toBe(false);
  });
});
