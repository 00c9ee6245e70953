import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { fitFeed } from '../../src/verify/feed-fit.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import { plannedFeed, recordedFeed, recording } from './exact-recordings.ts';

const highPass = { type: 'high-pass', cornerHz: 100, slopeDbPerOctave: 12 };
const filters = [highPass] as unknown as PlannedFeed['filters'];
const through = (cornerHz: number) =>
  recording({ left: { edges: [{ side: 'high-pass', family: 'butterworth', order: 2, cornerHz }] } });

describe('a feed held against its plan', () => {
  it('is off by the decibels that it is louder: 20 log10(2) of twice the volts, in volts', () => {
    const found = fitFeed(recordedFeed({ measurements: [recording({ left: { gainDb: 6.0206 } })] }))!;
    expect(found.fit.gainDb).toBeCloseTo(6.0206, 3);
    expect(found).toMatchObject({ inVolts: true, misconnected: null });
  });

  it('is not in volts where a recording has none, or the plan no gain', () => {
    const some = [recording({ setting: 20 }), recording({ setting: 24, volts: null })];
    expect(fitFeed(recordedFeed({ measurements: some }))!.inVolts).toBe(false);
    expect(fitFeed(recordedFeed({ measurements: some.slice(0, 1) }))!.inVolts).toBe(true);
    expect(fitFeed(recordedFeed({ planned: plannedFeed({ gain: () => null }) }))!.inVolts).toBe(false);
  });

  it('has the amplifier’s filter found behind the amplifier, where it is set, and nowhere else', () => {
    const planned = plannedFeed({ filters });
    const behind = fitFeed(recordedFeed({ planned, measurements: [through(130)] }))!;
    expect(behind.fit.filters).toMatchObject([{ family: 'butterworth', cornerHz: expect.closeTo(130, 0) }]);
    expect(behind.fit.gainDb).toBeCloseTo(0, 1);
    const atLine = fitFeed(recordedFeed({ planned, node: 'converter output' }))!;
    expect(atLine.fit.filters).toEqual([]);
    expect(atLine.fit.gainDb).toBeCloseTo(0, 3);
    expect(Math.max(...atLine.rows[0].remainsDb.map(Math.abs))).toBeLessThan(0.01);
  });

  it('is judged from 25 Hz to 15 kHz, and not where the plan is a stop band 15 dB down', () => {
    const hzOf = (planned?: PlannedFeed) => {
      const [{ points }] = fitFeed(recordedFeed(planned === undefined ? {} : { planned }))!.rows;
      return [points[0], points[points.length - 1]].map((i) => gridFrequencyHz[i]);
    };
    // Every fourth point of the grid: the ends lie within four of them.
    const four = (gridFrequencyHz[1] / gridFrequencyHz[0]) ** 4 * 1.0001;
    const [low, high] = hzOf();
    expect(low).toBeGreaterThanOrEqual(25);
    expect(low).toBeLessThan(25 * four);
    expect(high).toBeLessThanOrEqual(15_000);
    expect(high).toBeGreaterThan(15_000 / four);
    const falling = (db: number) =>
      plannedFeed({ volts: () => gridFrequencyHz.map((hz) => (hz < 200 ? 10 ** (db / 20) : 1)) });
    expect(hzOf(falling(-14))[0]).toBe(low);
    expect(hzOf(falling(-16))[0]).toBeGreaterThan(199);
  });

  describe('of two taps', () => {
    const taps = ['a', 'b'].map((tapId) => ({ tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 }));
    const inTurn = (i: number) => ((i >> 2) % 2 === 0 ? 1 : -1);
    const shaped = (db: number) => gridFrequencyHz.map((_, i) => 10 ** ((db * inTurn(i)) / 20));
    /** The recording deviates by so many decibels up and down; with tap b otherwise the plan does too, by as many as are said. */
    const found = (offDb: number, explainedDb: { inverted?: number; missing?: number }) => {
      const imag = new Float64Array(gridFrequencyHz.length);
      const planned = plannedFeed({
        feed: { taps },
        volts: () => shaped(-offDb),
        spectrum: (_setting, _programme, own) => {
          const b = own?.[1];
          const how =
            b === undefined || own![0].polarity === 'inverted' || own![0].trimDb !== 0
              ? 0
              : b.polarity === 'inverted'
                ? explainedDb.inverted
                : explainedDb.missing;
          return { real: shaped(how ?? 0), imag, timeOrigin: 'plan' };
        },
      });
      return fitFeed(recordedFeed({ planned }))!;
    };

    it('has one turned round or missing where that leaves less than half of what the plan leaves', () => {
      expect(found(2, { inverted: 1.2 }).misconnected).toEqual({ tapId: 'b', how: 'inverted' });
      expect(found(2, { inverted: 1.2 }).fit.residualDb).toBeCloseTo(0.8, 6);
      expect(found(2, { missing: 1.2 }).misconnected).toEqual({ tapId: 'b', how: 'missing' });
      expect(found(2, { inverted: 1.2, missing: 1.6 }).misconnected).toEqual({ tapId: 'b', how: 'missing' });
      expect(found(2, { inverted: 0.6 }).misconnected).toBeNull();
      expect(found(2, { inverted: 0.6 }).fit.residualDb).toBeCloseTo(2, 6);
    });

    it('is as planned where nobody would hear the difference: 1 dB', () => {
      expect(found(0.95, { inverted: 0.95 }).misconnected).toBeNull();
      expect(found(1.05, { inverted: 1.05 }).misconnected).toEqual({ tapId: 'b', how: 'inverted' });
    });
  });

  it('is nothing where nothing of it is trusted', () => {
    expect(fitFeed(recordedFeed({ measurements: [recording({ trustedHz: null })] }))).toBeNull();
  });
});
