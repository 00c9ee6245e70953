import { expect, test } from 'vitest';
import { measurementsOf, pass, shelf, tapOf } from '../synthetic.ts';
import { bassOf, lossFrom20, radioWith, SETTINGS } from './bass-of.ts';

/**
 * Closed form of a low shelf of order 2 at Q 0.707: |H|^2 = A^2 ((A - u)^2 + 2 A u) / ((1 - A u)^2 + 2 A u), u = (f / f0)^2,
 * A = 10^(gain / 40) (W3C Note "Audio EQ Cookbook", 8 June 2021).
 */
function lowShelfDb(hz: number, { cornerHz, gainDb }: { cornerHz: number; gainDb: number }): number {
  const [u, a] = [(hz / cornerHz) ** 2, 10 ** (gainDb / 40)];
  return 10 * Math.log10((a * a * ((a - u) ** 2 + 2 * a * u)) / ((1 - a * u) ** 2 + 2 * a * u));
}

test('bass that falls at every step has no plateau: the loss is told at least, between the lowest and the loudest setting', () => {
  const radio = radioWith((setting) => [shelf(80, -(setting - 10) * 0.5)]);
  const [finding] = bassOf(measurementsOf({ radio, settings: SETTINGS })).changes;
  expect(finding).toMatchObject({ verdict: 'falls with volume', plateauSettings: [], recordNext: 12 });
  const { lossDb, ...where } = finding.atLeast!;
  expect(where).toEqual({ fromSetting: 10, toSetting: 30, atHz: 40 });
  expect(Math.abs(lossDb.value + lowShelfDb(40, { cornerHz: 80, gainDb: -10 }))).toBeLessThan(0.05);
});

test.each([
  ['a loudness contour that ends at the loudest setting', (setting: number) => (30 - setting) * 0.5],
  ['a fall that has come to its end', (setting: number) => (setting < 14 ? 8 : setting < 22 ? 4 : 0)],
])('%s is no loss', (_, gainDb) => {
  const radio = radioWith((setting) => [shelf(80, gainDb(setting))]);
  const [finding] = bassOf(measurementsOf({ radio, settings: [10, 16, 22, 30] })).changes;
  expect(finding).toMatchObject({ verdict: 'cannot be told', reason: { code: 'no three settings agree' } });
});

test('one take of another tap spoils none of the others, and a loudest one that was lost leaves the rest open', () => {
  const measurements = measurementsOf({ radio: radioWith(() => []), settings: SETTINGS });
  const dash = measurementsOf({
    radio: radioWith(() => [pass('low-pass', 80)], { snrDb: 60 }),
    settings: [14, 30],
  });
  const exchanged = (setting: number) =>
    measurements.map((one) =>
      one.setting === setting ? dash.find((other) => other.setting === setting)! : one,
    );
  const [amid] = bassOf(exchanged(14)).changes;
  expect(amid.verdict).toBe('steady');
  expect(amid.doubts).toMatchObject([{ reason: { code: 'no middle at this setting' }, settings: [14] }]);
  const [atTop] = bassOf(exchanged(30)).changes;
  expect(atTop).toMatchObject({
    verdict: 'cannot be told',
    reason: { code: 'steady only so far', upToSetting: 26, openSettings: [30] },
    recordNext: 30,
  });
});

test('a low cut that was on for one take is left out, and the loss of the others is told', () => {
  const radio = radioWith((setting) => [
    shelf(80, lossFrom20(setting)),
    ...(setting === 22 ? [pass('high-pass', 90, { family: 'butterworth', order: 2 })] : []),
  ]);
  const [cut] = bassOf(measurementsOf({ radio, settings: SETTINGS })).changes;
  const [plain] = bassOf(
    measurementsOf({
      radio: radioWith((setting) => [shelf(80, lossFrom20(setting))]),
      settings: SETTINGS.filter((setting) => setting !== 22),
    }),
  ).changes;
  expect(cut).toMatchObject({ verdict: 'falls with volume', onset: plain.onset });
  expect(cut.changes.map(({ setting }) => setting)).toEqual(plain.changes.map(({ setting }) => setting));
  expect(cut.doubts).toMatchObject([{ reason: { code: 'bass lower at one setting only' }, settings: [22] }]);
});

test('settings at which noise covers the bass are no plateau', () => {
  // The lowest three stand 5 dB above the noise, the next three hold, the last two have lost 6 and 12 dB.
  const settings = [2, 4, 6, 10, 12, 14, 22, 30];
  const radio = (snrDb: number) =>
    radioWith((setting) => [shelf(80, setting > 20 ? -6 * (setting > 26 ? 2 : 1) : 0)], { snrDb });
  const measurements = [
    ...measurementsOf({ radio: radio(5), settings: settings.slice(0, 3) }),
    ...measurementsOf({ radio: radio(60), settings: settings.slice(3) }),
  ];
  const [finding] = bassOf(measurements).changes;
  expect(finding).toMatchObject({
    verdict: 'falls with volume',
    plateauSettings: [10, 12, 14],
    onset: { lastIntact: 14, firstChanged: 22 },
  });
});

test('two settings are no plateau', () => {
  const [finding] = bassOf(measurementsOf({ radio: radioWith(() => []), settings: [10, 20] })).changes;
  expect(finding).toMatchObject({ verdict: 'cannot be told', recordNext: 15 });
});

test('a pair recorded at low, middle and high borrows the plateau of the pair that has all settings', () => {
  const radio = radioWith((setting) => [shelf(80, lossFrom20(setting))]);
  const taps = [tapOf(), tapOf({ id: 'rear-left', position: 'rear' })];
  const measurements = [
    ...measurementsOf({ radio, settings: SETTINGS }),
    ...measurementsOf({ radio, settings: [10, 18, 30], tapId: 'rear-left' }),
  ];
  const [, rear] = bassOf(measurements, taps).changes;
  expect(rear).toMatchObject({
    verdict: 'falls with volume',
    plateauSettings: [10, 18],
    onset: { lastIntact: 18, firstChanged: 30 },
  });
});

test('a subwoofer tap needs a full-range tap in the same file', () => {
  const sub = radioWith((setting) => [pass('low-pass', 80), shelf(60, lossFrom20(setting))], {
    weights: [1, 1],
    snrDb: 40,
  });
  const front = radioWith((setting) => [shelf(60, lossFrom20(setting))], { snrDb: 60 });
  const taps = [tapOf(), tapOf({ id: 'sub', side: 'both', position: 'subwoofer' })];
  const alone = measurementsOf({ radio: sub, settings: SETTINGS, tapId: 'sub' });
  const [least] = bassOf(alone, taps).changes;
  expect(least).toMatchObject({ verdict: 'falls with volume', atLeast: { toSetting: 30, atHz: 40 } });
  const trueLossDb = -lowShelfDb(40, { cornerHz: 60, gainDb: lossFrom20(30) });
  expect(least.atLeast!.lossDb.value).toBeLessThan(trueLossDb);
  expect(least.atLeast!.lossDb.value).toBeGreaterThan(0.7 * trueLossDb);
  const together = [...measurementsOf({ radio: front, settings: SETTINGS, file: 'sub.wav' }), ...alone];
  expect(bassOf(together, taps).changes[1]).toMatchObject({
    verdict: 'falls with volume',
    onset: { lastIntact: 18, firstChanged: 22 },
  });
});

test('a subwoofer output that fades as a whole is not called a bass loss', () => {
  const fading = radioWith(() => [pass('low-pass', 80)], {
    weights: [1, 1],
    gainDb: (setting) => Math.min(setting, 20) - 40,
    snrDb: 40,
  });
  const taps = [tapOf(), tapOf({ id: 'sub', side: 'both', position: 'subwoofer' })];
  const measurements = [
    ...measurementsOf({ radio: radioWith(() => []), settings: SETTINGS, file: 'sub.wav' }),
    ...measurementsOf({ radio: fading, settings: SETTINGS, tapId: 'sub' }),
  ];
  const [, sub] = bassOf(measurements, taps).changes;
  expect(sub.verdict).toBe('cannot be told');
  expect(sub.reason).toEqual({ code: 'all bass falls alike', referenceTapId: 'front-left' });
  // Alone it looks steady against its own upper bass, which says nothing.
  const [alone] = bassOf(measurements.slice(SETTINGS.length), taps).changes;
  expect(alone).toMatchObject({ verdict: 'cannot be told', reason: { code: 'no full-range tap beside it' } });
});

test('a subwoofer output with a volume law of its own, half as steep as the others’, keeps its bass', () => {
  const own = radioWith(() => [pass('low-pass', 80)], {
    weights: [1, 1],
    gainDb: (setting) => setting / 2 - 25,
    snrDb: 40,
  });
  const taps = [tapOf(), tapOf({ id: 'sub', side: 'both', position: 'subwoofer' })];
  const measurements = [
    ...measurementsOf({ radio: radioWith(() => []), settings: SETTINGS, file: 'sub.wav' }),
    ...measurementsOf({ radio: own, settings: SETTINGS, tapId: 'sub' }),
  ];
  const [, sub] = bassOf(measurements, taps).changes;
  expect(sub).toMatchObject({ verdict: 'steady', plateauSettings: SETTINGS });
});

test('a dash output that carries no bass says so, also where its last traces stand above the noise', () => {
  const of = (cornerHz: number, snrDb: number) => {
    const radio = radioWith(() => [pass('high-pass', cornerHz)], { snrDb });
    return bassOf(measurementsOf({ radio, settings: SETTINGS })).changes[0];
  };
  const none = { verdict: 'cannot be told', reason: { code: 'no bass to judge' }, recordNext: null };
  expect(of(3000, 60)).toMatchObject(none);
  expect(of(3000, 110)).toMatchObject(none);
  expect(of(150, 110).verdict).toBe('steady');
});
