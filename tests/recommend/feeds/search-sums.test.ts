import { describe, expect, it } from 'vitest';
import { evaluateOnGrid, evaluateSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { seededRandom } from '../../../src/dsp/random.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { FeedTap } from '../../../src/model/recommendation.ts';
import { type SumSearch, searchSums } from '../../../src/recommend/feeds/search-sums.ts';
import type { SumCandidate } from '../../../src/recommend/feeds/sum-cost.ts';

const DELAY_STEP_SECONDS = 50e-6;
const WANTED_HZ = [30, 15_000] as const;

/** Way, corner, order, delay, gain and sign of an invented tap. */
interface Tap {
  readonly side: 'low-pass' | 'high-pass';
  readonly cornerHz: number;
  readonly order: number;
  readonly delaySeconds: number;
  readonly gain: number;
}

function candidate(
  tapId: string,
  { side, cornerHz, order, delaySeconds, gain }: Tap,
  penaltyDb = 0,
): SumCandidate {
  const sections = prototypeSections({ family: 'linkwitz-riley', order, side });
  const points = [...gridFrequencyHz].map((frequencyHz) => {
    const { real, imag } = evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });
    const phase = -2 * Math.PI * frequencyHz * delaySeconds;
    return {
      real: gain * (real * Math.cos(phase) - imag * Math.sin(phase)),
      imag: gain * (real * Math.sin(phase) + imag * Math.cos(phase)),
    };
  });
  return {
    tapId,
    penaltyDb,
    spectrum: {
      real: Float64Array.from(points, (p) => p.real),
      imag: Float64Array.from(points, (p) => p.imag),
    },
  };
}

/**
 * The same question answered the slow way: every set, sign, delay and trim in turn, each sum written out point by point
 * in polar form. Costs as the search documents them.
 */
function bruteForceCost(search: SumSearch): number {
  const { candidates, trimsDb, maximumDelaySeconds, delayStepSeconds } = search;
  const points = judgedPoints(candidates).filter((_, i) => i % 2 === 0);
  const delays = Array.from(
    { length: Math.round(maximumDelaySeconds / delayStepSeconds) + 1 },
    (_, i) => i * delayStepSeconds,
  );
  const choices = [
    null,
    ...[1, -1].flatMap((sign) => delays.flatMap((delay) => trimsDb.map((trim) => ({ sign, delay, trim })))),
  ];
  const polar = candidates.map(({ spectrum }) =>
    points.map((i) => ({
      size: Math.hypot(spectrum.real[i], spectrum.imag[i]),
      angle: Math.atan2(spectrum.imag[i], spectrum.real[i]),
    })),
  );
  let lowest = Number.POSITIVE_INFINITY;
  const tryAll = (chosen: (typeof choices)[number][]) => {
    if (chosen.length < candidates.length) {
      for (const choice of choices) tryAll([...chosen, choice]);
      return;
    }
    const used = chosen.flatMap((choice, tap) => (choice === null ? [] : [{ ...choice, tap }]));
    // The first tap stays as wired, and some tap starts at once: everything else is the same sum again.
    if (used.length === 0 || used[0].sign < 0 || Math.min(...used.map(({ delay }) => delay)) > 0) return;
    const levels = points.map((point, i) => {
      let [x, y, all, most] = [0, 0, 0, 0];
      for (const { sign, delay, trim, tap } of used) {
        const size = polar[tap][i].size * 10 ** (trim / 20);
        const angle =
          polar[tap][i].angle - 2 * Math.PI * gridFrequencyHz[point] * delay + (sign < 0 ? Math.PI : 0);
        x += size * Math.cos(angle);
        y += size * Math.sin(angle);
        all += size;
        most = Math.max(most, size);
      }
      return {
        db: 20 * Math.log10(Math.hypot(x, y) + 1e-10),
        lossDb: 20 * Math.log10((Math.hypot(x, y) + 1e-10) / (all + 1e-10)),
        loudestDb: 20 * Math.log10(most + 1e-10),
      };
    });
    const top = Math.max(...levels.map(({ db }) => db));
    const passing = levels.filter(({ db }) => db > top - 12);
    const middle = passing.reduce((total, { db }) => total + db, 0) / passing.length;
    const rms = Math.sqrt(
      levels.reduce((total, { db }) => total + Math.min(30, Math.abs(db - middle)) ** 2, 0) / levels.length,
    );
    const loudest = Math.max(...levels.map(({ db, lossDb }) => db - lossDb));
    const heard = levels.filter(({ db, lossDb }) => db - lossDb >= loudest - 12);
    const dip = Math.max(-60, Math.min(...heard.map(({ lossDb }) => lossDb)));
    const holes = heard.filter(({ db, loudestDb }) => db < Math.max(middle, loudestDb) - 3);
    const hole = Math.max(-60, Math.min(0, ...holes.map(({ lossDb }) => lossDb)));
    const count = (test: (part: (typeof used)[number]) => boolean) => used.filter(test).length;
    const penalty = Math.max(...used.map(({ tap }) => candidates[tap].penaltyDb));
    const cost =
      rms -
      0.5 * hole -
      0.1 * (dip - hole) +
      penalty +
      0.1 * (used.length - 1) +
      0.05 * count(({ sign }) => sign < 0) +
      0.5 * count(({ delay }) => delay > 0) +
      0.2 * count(({ trim }) => trim !== 0);
    lowest = Math.min(lowest, cost);
  };
  tryAll([]);
  return lowest;
}

/** What any tap carries, read off its own curve: down to 6 dB under its middle, half an octave inside a roll-off. */
function judgedPoints(candidates: readonly SumCandidate[]): number[] {
  const wanted = [...gridFrequencyHz.keys()].filter(
    (i) => gridFrequencyHz[i] >= WANTED_HZ[0] && gridFrequencyHz[i] <= WANTED_HZ[1],
  );
  const carried = candidates.flatMap(({ spectrum: { real, imag } }) => {
    const db = (i: number) => 20 * Math.log10(Math.hypot(real[i], imag[i]));
    const top = Math.max(...wanted.map(db));
    const passing = wanted.map(db).filter((level) => level > top - 12);
    const middle = passing.sort((a, b) => a - b)[Math.floor(passing.length / 2)];
    return wanted.filter((i) => db(i) > middle - 6);
  });
  const [first, last] = [Math.min(...carried), Math.max(...carried)];
  const from = gridFrequencyHz[first] * (first > wanted[0] ? Math.SQRT2 : 1) * 0.999;
  const to = (gridFrequencyHz[last] / (last < wanted[wanted.length - 1] ? Math.SQRT2 : 1)) * 1.001;
  return wanted.filter((i) => gridFrequencyHz[i] >= from && gridFrequencyHz[i] <= to);
}

const base = { wantedHz: WANTED_HZ, mostTaps: 4, delayStepSeconds: DELAY_STEP_SECONDS } as const;
const low = (cornerHz: number, order: number, delaySeconds = 0, gain = 1): Tap => ({
  side: 'low-pass',
  cornerHz,
  order,
  delaySeconds,
  gain,
});
const high = (cornerHz: number, order: number, delaySeconds = 0, gain = 1): Tap => ({
  side: 'high-pass',
  cornerHz,
  order,
  delaySeconds,
  gain,
});

describe('search for the flattest sum, against every possibility tried in turn', () => {
  const cases: [string, Tap[], number[], number][] = [
    ['a pair that meets at 3 kHz, 12 dB/octave', [low(3000, 2), high(3000, 2)], [0], 0.5e-3],
    ['a pair whose high part is inverted and late', [low(800, 4, 0), high(800, 4, 200e-6, -1)], [0], 0.5e-3],
    ['a pair of unequal level', [low(2000, 4), high(2000, 4, 0, 2)], [-6, -3, 0], 0],
    ['a late pair of unequal level', [low(500, 4, 150e-6), high(500, 4, 0, 1.41)], [-6, -3, 0], 0.4e-3],
    [
      'three ways, the middle one inverted',
      [low(300, 4), { ...high(300, 4), gain: -1 }, high(5000, 2)],
      [0],
      0.2e-3,
    ],
    ['taps that do not belong together', [low(5000, 2, 300e-6), high(150, 4), low(100, 4)], [0], 0.3e-3],
    ['two that are alike', [low(15_000, 2), low(15_000, 2, 100e-6)], [-3, 0], 0.2e-3],
  ];
  for (const [name, taps, trimsDb, maximumDelaySeconds] of cases) {
    it(`finds the lowest cost for ${name}`, () => {
      const candidates = taps.map((tap, i) => candidate(`tap ${i + 1}`, tap, i === 2 ? 0.3 : 0));
      const search = { ...base, candidates, trimsDb, maximumDelaySeconds };
      const costs = searchSums(search).map(({ costDb }) => costDb);
      expect(Math.min(...costs)).toBeCloseTo(bruteForceCost(search), 6);
    });
  }
});

it('gives the same plan whichever order the taps are listed in', () => {
  const candidates = [
    candidate('door', low(3000, 2)),
    candidate('dash', high(3000, 2, 100e-6)),
    candidate('rear', low(200, 2)),
  ];
  const search = { ...base, trimsDb: [0], maximumDelaySeconds: 1e-3 };
  const [best] = searchSums({ ...search, candidates });
  const [other] = searchSums({ ...search, candidates: candidates.toReversed() });
  expect(other.costDb).toBeCloseTo(best.costDb, 6);
  expect(other.taps.map(({ tapId }) => tapId).sort()).toEqual(best.taps.map(({ tapId }) => tapId).sort());
});

it('uses no more taps than the converter can add', () => {
  const candidates = [
    candidate('door', low(3000, 2)),
    candidate('dash', high(3000, 2)),
    candidate('rear', low(200, 2)),
  ];
  const sums = searchSums({ ...base, candidates, trimsDb: [0], maximumDelaySeconds: 0, mostTaps: 1 });
  expect(sums.every(({ taps }) => taps.length === 1)).toBe(true);
});

/** Highest less lowest of a sum, written out anew. */
function rippleDb(candidates: readonly SumCandidate[], taps: readonly FeedTap[]): number {
  const everySecond = judgedPoints(candidates).filter((_, i) => i % 2 === 0);
  const levels = everySecond.map((i) => {
    let [x, y] = [0, 0];
    for (const { tapId, polarity, trimDb, delaySeconds } of taps) {
      const { real, imag } = candidates.find((one) => one.tapId === tapId)!.spectrum;
      const size = Math.hypot(real[i], imag[i]) * 10 ** (trimDb / 20) * (polarity === 'inverted' ? -1 : 1);
      const angle = Math.atan2(imag[i], real[i]) - 2 * Math.PI * gridFrequencyHz[i] * delaySeconds;
      x += size * Math.cos(angle);
      y += size * Math.sin(angle);
    }
    return 20 * Math.log10(Math.hypot(x, y) + 1e-10);
  });
  return Math.min(60, Math.max(...levels) - Math.min(...levels));
}

/** Every sum of as many of the taps as there are, none of them turned, trimmed or delayed. */
function plainSums(candidates: readonly SumCandidate[]): FeedTap[][] {
  return Array.from({ length: 2 ** candidates.length - 1 }, (_, set) =>
    candidates
      .filter((_, i) => (set + 1) & (1 << i))
      .map(({ tapId }) => ({ tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 })),
  );
}

const TRIMS_DB = Array.from({ length: 13 }, (_, i) => i - 12);
/** What a radio adds to every way before it splits them: no bass below. */
const behind = (cornerHz: number, { spectrum, ...rest }: SumCandidate): SumCandidate => {
  const filter = prototypeSections({ family: 'butterworth', order: 2, side: 'high-pass' });
  const { real, imag } = evaluateOnGrid(filter, {
    frequencyHz: gridFrequencyHz,
    cornerHz,
    sampleRateHz: null,
  });
  return {
    ...rest,
    spectrum: {
      real: real.map((re, i) => re * spectrum.real[i] - imag[i] * spectrum.imag[i]),
      imag: real.map((re, i) => re * spectrum.imag[i] + imag[i] * spectrum.real[i]),
    },
  };
};

it('leaves a split alone that adds to an even sum, whatever bass is missing from all of its taps', () => {
  for (const cornerHz of [60, 90, 130]) {
    const candidates = [
      behind(cornerHz, candidate('door', low(3500, 4))),
      behind(cornerHz, candidate('dash', high(3500, 4))),
    ];
    const [best] = searchSums({ ...base, candidates, trimsDb: TRIMS_DB, maximumDelaySeconds: 2e-3 });
    expect(best.taps).toEqual([
      { tapId: 'door', polarity: 'as wired', trimDb: 0, delaySeconds: 0 },
      { tapId: 'dash', polarity: 'as wired', trimDb: 0, delaySeconds: 0 },
    ]);
    // Linkwitz-Riley of order 4 adds flat (Linkwitz, JAES 24(1), 1976); what is left is the high-pass, half an octave inside.
    expect(rippleDb(candidates, best.taps)).toBeLessThan(2.6);
  }
});

it('never lets trims, polarity or delay make a sum less even than the best of plain ones', () => {
  const { uniform: random } = seededRandom(811);
  const between = (from: number, to: number) => from + (to - from) * random();
  const oneOf = <Value>(values: readonly Value[]) => values[Math.floor(random() * values.length)];
  for (let round = 0; round < ROUNDS; round++) {
    const corners = [between(80, 500), between(800, 6000)];
    const ways = oneOf([2, 3]);
    const sign = () => oneOf([1, 1, 1, -1]);
    const gain = () => sign() * 10 ** (oneOf([0, 0, between(-6, 6)]) / 20);
    const late = () => oneOf([0, 0, between(0, 500e-6)]);
    const plain = [
      candidate('low', low(corners[ways === 3 ? 0 : 1], oneOf([2, 4, 8]), late(), gain())),
      ...(ways === 3
        ? [behind(corners[0], candidate('middle', low(corners[1], oneOf([2, 4]), 0, gain())))]
        : []),
      candidate('high', high(corners[1], oneOf([2, 4, 8]), late(), gain())),
    ];
    const candidates = random() < 0.5 ? plain : plain.map((one) => behind(between(60, 160), one));
    const search = {
      ...base,
      candidates,
      trimsDb: oneOf([TRIMS_DB, [0]]),
      maximumDelaySeconds: oneOf([0, 1e-3]),
    };
    const [best] = searchSums(search);
    const ripple = rippleDb(candidates, best.taps);
    for (const taps of plainSums(candidates)) {
      const furtherTaps = Math.max(0, taps.length - best.taps.length);
      const limitDb = rippleDb(candidates, taps) + 0.1 + 0.3 * furtherTaps;
      expect(ripple, `round ${round}`).toBeLessThanOrEqual(limitDb + 1e-6);
    }
  }
});

const ROUNDS = 400;
