import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { FeedFit, FitRow } from '../../src/verify/feed-fit.ts';
import { levelProofs } from '../../src/verify/level-proofs.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import type { RecordedFeed } from '../../src/verify/recorded-feed.ts';

/** At the amplifier: 5 % by the plan, 3 % of its volts, 2 % of the recorder's. */
const recorded = {
  planned: {
    amplifier: {},
    filters: [],
    restores: false,
    tolerancePercent: 5,
    relativePlusMinus: 0.03,
    gain: () => 1,
    target: () => null,
  } as unknown as PlannedFeed,
  series: { measurements: [{ voltsPerFullScale: { value: 1, relativeUncertainty: 0.02 } }] },
  node: 'amplifier output',
  restoration: 'none',
} as unknown as RecordedFeed;

function fitOf(gainDb: number, rows: readonly FitRow[] = []): FeedFit {
  const fit = { gainDb, restorationShare: null, filters: [], residualDb: 0 };
  return { rows, fit, inVolts: true, misconnected: null };
}

function level(gainDb: number, converterGainDb: number | null) {
  return levelProofs(recorded, fitOf(gainDb), converterGainDb).find(({ what }) => what === 'level')!;
}

describe('the level behind an amplifier', () => {
  it('is the converter’s fault where the converter’s own recording is as far off.', () => {
    const blamed = { verdict: 'fail', knob: 'converter level' };
    expect(level(3, 3)).toMatchObject({ ...blamed, text: { knob: 'converter level', tooHighDb: 3 } });
    expect(level(-3, -3)).toMatchObject({ ...blamed, text: { tooHighDb: -3 } });
  });

  it('is the amplifier’s where the converter is right, by what the converter does not explain.', () => {
    expect(level(3, 0)).toMatchObject({ knob: 'amplifier gain', text: { tooHighDb: 3 } });
    expect(level(3, null)).toMatchObject({ knob: 'amplifier gain', text: { tooHighDb: 3 } });
    // The converter gives 1 dB too much and the feed 3 dB too little: the amplifier's gain is 4 dB too low.
    expect(level(-3, 1)).toMatchObject({ knob: 'amplifier gain', text: { db: -3, tooHighDb: -4 } });
  });

  it('passes within all that is uncertain, added: 20 log10(1 + 0.05 + 0.03 + 0.02) = 0.828 dB (closed form).', () => {
    expect(level(0, null).tolerance).toBeCloseTo(0.828, 3);
    expect(level(0.82, null)).toMatchObject({ verdict: 'pass', knob: null, expected: 0, found: 0.82 });
    expect(level(0.84, null).verdict).toBe('fail');
    expect(level(-0.84, null).verdict).toBe('fail');
  });
});

describe('bass and flatness', () => {
  /** 3 dB too much over an octave around a frequency, nothing elsewhere. */
  const bump = (atHz: number, db: number): FitRow => {
    const points = [...gridFrequencyHz.keys()].filter((i) => gridFrequencyHz[i] > 20 && i % 4 === 0);
    const remainsDb = points.map((i) => (Math.abs(Math.log2(gridFrequencyHz[i] / atHz)) < 0.5 ? db : 0));
    return { setting: 24, points, remainsDb, boostDb: points.map(() => 0) } as unknown as FitRow;
  };
  const judged = (row: FitRow) =>
    levelProofs(recorded, fitOf(0, [row]), null).filter(({ what }) => what === 'bass' || what === 'flatness');

  it('are judged apart: a bump at 250 Hz and a dip at 5 kHz are no fault of the bass, one at 50 Hz is.', () => {
    for (const [hz, db] of [
      [250, 3],
      [5000, -3],
    ]) {
      const [bass, flatness] = judged(bump(hz, db));
      expect(bass).toMatchObject({ what: 'bass', verdict: 'pass' });
      expect(flatness).toMatchObject({ what: 'flatness', verdict: 'fail', found: expect.closeTo(db, 6) });
    }
    const [bass, flatness] = judged(bump(50, 3));
    expect(bass).toMatchObject({ verdict: 'fail', found: expect.closeTo(3, 6) });
    expect(flatness.verdict).toBe('pass');
  });
});

describe('bass and flatness at their limits', () => {
  const points = [...gridFrequencyHz.keys()].filter((i) => gridFrequencyHz[i] > 20 && i % 4 === 0);
  const everywhere = (db: number): FitRow =>
    ({
      setting: 24,
      points,
      remainsDb: points.map(() => db),
      boostDb: points.map(() => 0),
    }) as unknown as FitRow;
  const told = (row: FitRow, misconnected: FeedFit['misconnected'] = null) =>
    levelProofs(recorded, { ...fitOf(0, [row]), misconnected }, null).filter(
      ({ what }) => what === 'bass' || what === 'flatness',
    );

  it('pass at 1.5 dB either way and fail beyond, with the knob that turns them.', () => {
    for (const db of [1.45, -1.45])
      expect(told(everywhere(db)).map(({ verdict, knob }) => [verdict, knob])).toEqual([
        ['pass', null],
        ['pass', null],
      ]);
    for (const db of [1.55, -1.55]) {
      const [bass, flatness] = told(everywhere(db));
      expect(bass).toMatchObject({
        verdict: 'fail',
        knob: 'equalizer or bass control',
        setting: 24,
        tolerance: 1.5,
      });
      expect(flatness).toMatchObject({ verdict: 'fail', knob: 'equalizer or bass control', expected: 0 });
      expect(flatness.text).toMatchObject({ code: 'flatness against the plan', fromHz: 200, setting: 24 });
    }
  });

  it('are means over a third of an octave (the width of a band of IEC 61260-1): a lone point counts for one of those in it.', () => {
    const every = [...gridFrequencyHz.keys()].filter((i) => gridFrequencyHz[i] > 20);
    const at = every.findIndex((i) => gridFrequencyHz[i] > 1000);
    const lone = every.map((_, j) => (j === at ? 9 : 0));
    const [, flatness] = told({
      setting: 24,
      points: every,
      remainsDb: lone,
      boostDb: lone,
    } as unknown as FitRow);
    // The grid has log 2 / log r points an octave, a third of them and the one in the middle of a band.
    const perOctave = Math.LN2 / Math.log(gridFrequencyHz[1] / gridFrequencyHz[0]);
    const inBand = 2 * Math.floor(perOctave / 6 + 1e-9) + 1;
    expect(Math.abs(9 / flatness.found! - inBand)).toBeLessThanOrEqual(1.01);
  });

  it('call for wires, not for an equaliser, where a tap is connected wrongly.', () => {
    const [, flatness] = told(everywhere(2), { tapId: 'dash left', how: 'missing' });
    expect(flatness.knob).toBe('wiring');
  });

  it('are not judged without two points within a sixth of an octave of a frequency.', () => {
    const few = points.filter((i) => gridFrequencyHz[i] > 300).slice(0, 1);
    const row = { setting: 24, points: few, remainsDb: [9], boostDb: [0] } as unknown as FitRow;
    expect(told(row)).toEqual([]);
  });
});

describe('restoration', () => {
  const restoring = {
    ...recorded,
    planned: { ...recorded.planned, restores: true },
    restoration: 'on',
  } as RecordedFeed;
  const rows = [{ setting: 24, points: [], remainsDb: [], boostDb: [2, 8, 4] }] as unknown as FitRow[];
  const share = (restorationShare: number | null, of = restoring) => {
    const fit = fitOf(0, rows);
    const proofs = levelProofs(of, { ...fit, fit: { ...fit.fit, restorationShare } }, null);
    return proofs.find(({ what }) => what === 'restoration');
  };

  it('gives its most times one and the share that is missing, within 1.5 dB: 8 dB less a quarter are 6.', () => {
    expect(share(-0.25)).toMatchObject({ verdict: 'fail', expected: 8, found: 6, knob: 'bass restoration' });
    expect(share(-0.25)?.text).toEqual({ code: 'restoration gives', db: 6, ofDb: 8, fault: 'turn' });
    expect(share(0.25)).toMatchObject({ verdict: 'fail', found: 10 });
    expect(share(-0.18)).toMatchObject({ verdict: 'pass', knob: null, text: { fault: 'none' } });
    expect(share(0.18)?.verdict).toBe('pass');
  });

  it('is off below a fifth of what was planned.', () => {
    expect(share(-0.79)?.text).toMatchObject({ fault: 'turn' });
    expect(share(-0.81)?.text).toMatchObject({ fault: 'off' });
  });

  it('is not told where it looks like a gain, and not asked where it is off on purpose or planned nowhere.', () => {
    expect(share(null)).toMatchObject({
      verdict: 'not told',
      text: { code: 'restoration and gain look alike' },
    });
    expect(share(-1, { ...restoring, restoration: 'off' })).toBeUndefined();
    expect(share(-1, { ...restoring, planned: recorded.planned })).toBeUndefined();
  });

  it('that fails is what the bass is missing.', () => {
    const points = [...gridFrequencyHz.keys()].filter((i) => gridFrequencyHz[i] < 120 && i % 4 === 0);
    const low = { setting: 24, points, remainsDb: points.map(() => -4), boostDb: points.map(() => 8) };
    const fit = fitOf(0, [low as unknown as FitRow]);
    const bass = (restorationShare: number) =>
      levelProofs(restoring, { ...fit, fit: { ...fit.fit, restorationShare } }, null).find(
        ({ what }) => what === 'bass',
      );
    expect(bass(-0.5)?.knob).toBe('bass restoration');
    expect(bass(0)?.knob).toBe('equalizer or bass control');
  });
});

describe('filters', () => {
  const planned = (shortfall: object | null = null) =>
    ({
      ...recorded.planned,
      filters: [{ type: 'low-pass', cornerHz: 80, shortfall }],
    }) as unknown as PlannedFeed;
  const found = (
    cornerHz: number,
    family: 'butterworth' | null = 'butterworth',
    shortfall: object | null = null,
  ) => {
    const fit = fitOf(0);
    const of = { ...recorded, planned: planned(shortfall) };
    const filters = [{ family, cornerHz }];
    return levelProofs(of, { ...fit, fit: { ...fit.fit, filters } }, null).filter(
      ({ what }) => what === 'filter',
    );
  };

  it('pass within 15 % of the corner: 70 to 91 Hz for 80 Hz, and are turned to it beyond.', () => {
    for (const hz of [70, 91.5])
      expect(found(hz)).toMatchObject([{ verdict: 'pass', knob: null, expected: 80 }]);
    for (const hz of [69, 92.5]) {
      const [proof] = found(hz);
      expect(proof).toMatchObject({ verdict: 'fail', knob: 'low-pass', found: hz, unit: 'Hz' });
      expect(proof.text).toEqual({
        code: 'filter is off its corner',
        filter: 'low-pass',
        cornerHz: hz,
        wantedHz: 80,
      });
    }
  });

  it('that are off fail, unless the amplifier has none.', () => {
    expect(found(80, null)).toMatchObject([
      { verdict: 'fail', knob: 'low-pass', text: { code: 'filter is off' } },
    ]);
    const shortfall = { code: 'amplifier has no filter' };
    expect(found(80, null, shortfall)).toMatchObject([{ verdict: 'not told', text: shortfall }]);
    const atConverter = { ...recorded, planned: planned(), node: 'converter output' } as RecordedFeed;
    expect(levelProofs(atConverter, fitOf(0), null).filter(({ what }) => what === 'filter')).toEqual([]);
  });
});

describe('a level that cannot be told', () => {
  it('says whether the plan or the recording lacks the volts.', () => {
    const without = { ...fitOf(0), inVolts: false };
    const notChecked = (gain: number | null, node: RecordedFeed['node']) =>
      levelProofs(
        { ...recorded, node, planned: { ...recorded.planned, gain: () => gain } },
        without,
        null,
      )[0];
    expect(notChecked(null, 'converter output')).toMatchObject({
      verdict: 'not told',
      text: { code: 'plan has no target volts', node: 'converter output' },
    });
    expect(notChecked(1, 'amplifier output')).toMatchObject({
      text: { code: 'level not told without volts' },
    });
  });

  it('without an amplifier, or before it, is the converter’s.', () => {
    const off = (part: Partial<RecordedFeed>) =>
      levelProofs({ ...recorded, ...part }, fitOf(3), null).find(({ what }) => what === 'level')?.knob;
    expect(off({ node: 'converter output' })).toBe('converter level');
    expect(off({ planned: { ...recorded.planned, amplifier: null } })).toBe('converter level');
    expect(off({})).toBe('amplifier gain');
  });
});
