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
    expect(level(0.82, null)).toMatchObject({ verdict: 'pass', knob: null });
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
