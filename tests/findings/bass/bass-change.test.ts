import { expect, test } from 'vitest';
import { NO_LOW_DRIVE } from '../../../src/findings/bass/bass-onset.ts';
import { BASS_FREQUENCIES_HZ } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { measurementsOf, pass, type Radio, shelf, tapOf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';
import { bassOf, largestError, lossFrom20, radioWith, SETTINGS, shelfDb } from './bass-of.ts';

test('a shelf that grows with the volume falls, with its loss at each frequency and the bracket of its onset', () => {
  const radio = radioWith((setting) => [shelf(80, lossFrom20(setting))]);
  const [finding] = bassOf(measurementsOf({ radio, settings: SETTINGS })).changes;
  expect(finding).toMatchObject({
    verdict: 'falls with volume',
    plateauSettings: [10, 14, 18],
    onset: { lastIntact: 18, firstChanged: 22, midpoint: 20 },
    recordNext: 20,
  });
  // The middle (300 Hz to 3 kHz) holds the last hundredths of the shelf's tail.
  expect(
    largestError(finding, (setting, hz) => shelfDb(hz, { cornerHz: 80, gainDb: lossFrom20(setting) })),
  ).toBeLessThan(0.03);
  expect(finding.evidence.length).toBe(SETTINGS.length);
});

test.each([
  [60, 0.1],
  [40, 0.2],
  [20, 1.5],
])(
  'at %i dB of SNR bass change is right within %f dB and its uncertainty covers the truth',
  (snrDb, boundDb) => {
    const radio = radioWith((setting) => [shelf(80, lossFrom20(setting))], { snrDb });
    let [covered, all, worst] = [0, 0, 0];
    for (let seed = 1; seed <= 15; seed++) {
      const [finding] = bassOf(
        measurementsOf({ radio, settings: SETTINGS, random: seededRandom(seed) }),
      ).changes;
      expect(finding.verdict).toBe('falls with volume');
      for (const { setting, changeDb } of finding.changes) {
        changeDb.forEach((change, i) => {
          if (isNotMeasurable(change)) return;
          const error =
            change.value - shelfDb(BASS_FREQUENCIES_HZ[i], { cornerHz: 80, gainDb: lossFrom20(setting) });
          all++;
          if (Math.abs(error) <= change.plusMinus) covered++;
          worst = Math.max(worst, Math.abs(error));
        });
      }
    }
    expect(worst).toBeLessThan(boundDb);
    expect(all).toBe(15 * 24);
    // A bound for 95 of 100; neighbouring frequencies of a take are not independent, so the sample is wide.
    expect(covered / all).toBeGreaterThan(0.9);
  },
);

test('a loudness contour alone is lifted at low settings and no loss', () => {
  const lift = (setting: number) => Math.max(0, 20 - setting) * 0.8;
  const radio = radioWith((setting) => [shelf(90, lift(setting))], { snrDb: 50 });
  const { changes, loudness } = bassOf(measurementsOf({ radio, settings: SETTINGS }));
  expect(changes[0]).toMatchObject({ verdict: 'steady', onset: null, plateauSettings: [22, 26, 30] });
  expect(loudness).toMatchObject([{ upToSetting: 18 }]);
});

test('a radio with a loudness contour and a loss gets both findings, against the plateau between them', () => {
  const gain = (setting: number) => Math.max(0, 16 - setting) * 0.8 - Math.max(0, setting - 26) * 1.2;
  const radio = radioWith((setting) => [shelf(80, gain(setting))], { snrDb: 50 });
  const { changes, loudness } = bassOf(measurementsOf({ radio, settings: [8, 12, 16, 20, 24, 28, 32] }));
  expect(changes[0]).toMatchObject({
    verdict: 'falls with volume',
    plateauSettings: [16, 20, 24],
    onset: { lastIntact: 24, firstChanged: 28 },
  });
  expect(loudness).toMatchObject([{ upToSetting: 12 }]);
});

test('bass that sinks into the noise is lost: what is left there could not be the plateau’s', () => {
  const deep = (setting: number) => (setting < 26 ? 0 : -40);
  const radio = radioWith((setting) => [shelf(120, deep(setting))], { snrDb: 30 });
  const noisy = measurementsOf({ radio, settings: SETTINGS });
  const [alone] = bassOf(noisy).changes;
  // A limiter could have taken it: nothing at a lower drive is heard either.
  expect(alone).toMatchObject({ verdict: 'cannot be told', reason: NO_LOW_DRIVE });
  const quiet = measurementsOf({ radio: radioWith(() => []), settings: SETTINGS, tapId: 'door-left' });
  const [finding] = bassOf([...noisy, ...quiet], [tapOf(), tapOf({ id: 'door-left' })]).changes;
  expect(finding.changes[finding.changes.length - 1].changeDb.every(isNotMeasurable)).toBe(true);
  expect(finding).toMatchObject({
    verdict: 'falls with volume',
    onset: { lastIntact: 22, firstChanged: 26 },
  });
});

test('bass that stands clear of the noise at the low settings only is not called steady', () => {
  const radio = (snrDb: number, lossDb: number) =>
    radioWith(
      (setting) => [
        pass('high-pass', 400, { order: 2, family: 'butterworth' }),
        shelf(80, setting < 26 ? 0 : lossDb),
      ],
      {
        snrDb,
      },
    );
  const verdictAt = (snrDb: number, lossDb: number) =>
    bassOf(measurementsOf({ radio: radio(snrDb, lossDb), settings: SETTINGS })).changes[0].verdict;
  expect(verdictAt(50, -9)).toBe('falls with volume');
  expect([14, 16, 18, 20, 22, 24, 26, 28].map((snrDb) => verdictAt(snrDb, -9))).not.toContain('steady');
});

test('scaling a recording changes no bass, and swapping two taps swaps their findings', () => {
  const radio = radioWith((setting) => [shelf(80, lossFrom20(setting))], { snrDb: 50 });
  const once = bassOf(measurementsOf({ radio, settings: SETTINGS }));
  const louder = bassOf(
    measurementsOf({ radio: { ...radio, gainDb: (setting) => setting - 31 }, settings: SETTINGS }),
  );
  once.changes[0].changes.forEach(({ changeDb }, s) => {
    changeDb.forEach((change, i) => {
      const other = louder.changes[0].changes[s].changeDb[i];
      if (isNotMeasurable(change) || isNotMeasurable(other)) throw new Error('measurable in both');
      expect(other.value).toBeCloseTo(change.value, 9);
    });
  });
  const taps = [tapOf({ id: 'a' }), tapOf({ id: 'b' })];
  const [falling, flat] = [radio, radioWith(() => [])];
  const verdicts = (first: Radio, second: Radio) =>
    bassOf(
      [
        ...measurementsOf({ radio: first, settings: SETTINGS, tapId: 'a' }),
        ...measurementsOf({ radio: second, settings: SETTINGS, tapId: 'b' }),
      ],
      taps,
    ).changes.map(({ verdict }) => verdict);
  expect(verdicts(falling, flat)).toEqual([...verdicts(flat, falling)].reverse());
});
