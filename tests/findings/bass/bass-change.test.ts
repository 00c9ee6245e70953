import { expect, test } from 'vitest';
import { evaluateSections, lowShelfSections } from '../../../src/dsp/filter-prototype.ts';
import { findBassChanges } from '../../../src/findings/bass/bass-change.ts';
import { NO_LOW_DRIVE } from '../../../src/findings/bass/bass-onset.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { BASS_FREQUENCIES_HZ, type FindingOf, findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import {
  type Filter,
  measurementsOf,
  pass,
  type Radio,
  seededRandom,
  sessionOf,
  shelf,
  tapOf,
} from '../synthetic.ts';

const SETTINGS = [10, 14, 18, 22, 26, 30];
const ONE_DB_A_STEP = (setting: number) => setting - 40;
/** Loss at 50 Hz of a radio that is intact up to 20. */
const lossFrom20 = (setting: number) => -Math.max(0, setting - 18) * 0.75;

function bassOf(measurements: readonly TapMeasurement[], taps = [tapOf()]) {
  const findings = findBassChanges(tapSeries({ session: sessionOf(taps), measurements }));
  return { changes: findingsOf(findings, 'bass-change'), loudness: findingsOf(findings, 'loudness-contour') };
}

function radioWith(filters: (setting: number) => Filter[], part: Partial<Radio> = {}): Radio {
  return { gainDb: ONE_DB_A_STEP, filters, ...part };
}

/** Closed form of the W3C cookbook shelf, dB. */
function shelfDb(frequencyHz: number, of: { cornerHz: number; gainDb: number }): number {
  const { real, imag } = evaluateSections(lowShelfSections(of), {
    frequencyHz,
    cornerHz: of.cornerHz,
    sampleRateHz: null,
  });
  return 20 * Math.log10(Math.hypot(real, imag));
}

function largestError(
  finding: FindingOf<'bass-change'>,
  expected: (setting: number, hz: number) => number,
): number {
  return Math.max(
    ...finding.changes.flatMap(({ setting, changeDb }) =>
      changeDb.map((change, i) =>
        isNotMeasurable(change) ? 0 : Math.abs(change.value - expected(setting, BASS_FREQUENCIES_HZ[i])),
      ),
    ),
  );
}

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

test('no volume dependence is steady: 200 random flat and fixed-EQ radios, 20 to 70 dB of SNR, without one false claim', () => {
  const verdicts = new Map<string, number>();
  for (let seed = 1; seed <= 200; seed++) {
    const random = seededRandom(1000 + seed);
    const fixed = [
      shelf(60 + 100 * random(), 12 * (random() - 0.5)),
      pass('high-pass', 20 + 60 * random(), { order: 2, family: 'butterworth' }),
    ].slice(0, Math.floor(3 * random()));
    const radio = radioWith(() => fixed, { snrDb: 20 + 50 * random() });
    const { changes, loudness } = bassOf(measurementsOf({ radio, settings: [10, 16, 22, 28], random }));
    expect(loudness).toEqual([]);
    expect(changes[0].onset).toBeNull();
    verdicts.set(changes[0].verdict, (verdicts.get(changes[0].verdict) ?? 0) + 1);
  }
  expect(verdicts.get('falls with volume')).toBeUndefined();
  expect(verdicts.get('steady')).toBeGreaterThan(190);
});

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

test('with the short track a loss may be a limiter’s and cannot be told; another tap with the full track settles it', () => {
  const filters = (setting: number) => [shelf(80, lossFrom20(setting))];
  const short = measurementsOf({
    radio: radioWith(filters, { responseTrackOnly: true }),
    settings: SETTINGS,
  });
  expect(bassOf(short).changes[0]).toMatchObject({ verdict: 'cannot be told' });
  expect(bassOf(short).changes[0].reason).toEqual({ code: 'one drive only' });
  const taps = [tapOf(), tapOf({ id: 'rear-left' })];
  const full = measurementsOf({ radio: radioWith(filters), settings: SETTINGS, tapId: 'rear-left' });
  expect(bassOf([...short, ...full], taps).changes[0]).toMatchObject({ verdict: 'falls with volume' });
});

test('a limiter behind the volume control is no volume-dependent loss, at any SNR at which it is seen', () => {
  for (const snrDb of [70, 50, 40, 30, 20]) {
    const radio = radioWith(() => [], { limiterDriveDbFs: (setting) => -4 - (setting - 10), snrDb });
    const { changes } = bassOf(measurementsOf({ radio, settings: SETTINGS, random: seededRandom(snrDb) }));
    expect(changes[0].verdict, `${snrDb} dB`).not.toBe('falls with volume');
    if (snrDb >= 40) expect(changes[0].verdict).toBe('steady');
  }
});

test('a loss beside a limiter is still a loss, read from the low-drive sweep', () => {
  const radio = radioWith((setting) => [shelf(80, lossFrom20(setting))], {
    limiterDriveDbFs: (setting) => -8 - (setting - 14),
    snrDb: 60,
  });
  const [finding] = bassOf(measurementsOf({ radio, settings: SETTINGS })).changes;
  expect(finding.verdict).toBe('falls with volume');
  expect(
    largestError(finding, (setting, hz) => shelfDb(hz, { cornerHz: 80, gainDb: lossFrom20(setting) })),
  ).toBeLessThan(0.1);
});

test('a gain that changes by itself during the take leaves the setting out', () => {
  const measurements = measurementsOf({ radio: radioWith(() => []), settings: SETTINGS });
  const drifting = measurements.map((measurement) =>
    measurement.setting === 22
      ? {
          ...measurement,
          ladders: measurement.ladders.map((ladder) => ({
            ...ladder,
            steps: ladder.steps.map((step) => ({ ...step, levelDbFs: step.levelDbFs + 3 })),
          })),
        }
      : measurement,
  );
  const [finding] = bassOf(drifting).changes;
  expect(finding.verdict).toBe('steady');
  expect(finding.doubts).toEqual([
    {
      kind: 'take',
      reason: { code: 'gain changed during the take' },
      tapIds: ['front-left'],
      settings: [22],
    },
  ]);
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
