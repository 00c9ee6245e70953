import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { type StageLimits, solveLevels } from '../../../src/recommend/chain/solve-levels.ts';

const UNKNOWN = Number.POSITIVE_INFINITY;
/** V = sqrt(P R). */
const volts = (watts: number, ohms: number) => Math.sqrt(watts * ohms);

const doors: StageLimits = {
  sourceVolts: 7.2,
  playedVolts: 7.2,
  converter: { gainRangeDb: [-30, 6], outputLimitVolts: 4 },
  amplifier: { ratedVolts: volts(60, 4), sensitivityRangeVolts: [0.2, 4], gainOverlapDb: 0 },
  loadVolts: volts(25, 4),
};

describe('levels of one feed, solved for all limits together', () => {
  // Arithmetic: 60 W into 4 ohm is 15.49 V, 25 W is 10 V; with the gain fully down at 4 V, 10 V take 4 x 10 / 15.49 = 2.58 V.
  it('turns the converter down where the amplifier’s gain ends: 25 W doors on 60 W are 2.58 V and 10.0 V.', () => {
    const solved = solveLevels(doors);
    expect(solved.lineVolts).toBeCloseTo(2.582, 3);
    expect(solved.outputVolts).toBeCloseTo(10, 9);
    expect(solved.sensitivityVolts).toBeCloseTo(4, 9);
    expect(solved.bindingLimit).toBe('load rating');
  });

  it('says what can be had where the amplifier’s gain is fully up and the line is weak.', () => {
    const solved = solveLevels({ ...doors, loadVolts: UNKNOWN, sourceVolts: 0.05, playedVolts: 0.05 });
    // 0.05 V raised by 6 dB is 0.0998 V; at 0.2 V for 15.49 V that gives 7.73 V.
    expect(solved.outputVolts).toBeCloseTo((volts(60, 4) * 0.05 * 10 ** (6 / 20)) / 0.2, 9);
    expect(solved.sensitivityVolts).toBe(0.2);
    expect(solved.bindingLimit).toBe('amplifier gain at its top');
  });

  it('lets the line be hotter where what is played is less: half of it at the amplifier is 2 x 2.58 V.', () => {
    const converter = { gainRangeDb: [-30, 6], outputLimitVolts: 10 } as const;
    const solved = solveLevels({ ...doors, converter, playedVolts: 3.6 });
    expect(solved.lineVolts).toBeCloseTo(2 * 2.582, 3);
    expect(solved).toMatchObject({ padDb: 0, lineLimit: 'amplifier gain at its bottom' });
    // Nothing of it is played: nothing can be too hot for the amplifier, and no figure is without end.
    const nothing = solveLevels({ ...doors, converter, playedVolts: 0 });
    expect(Number.isFinite(nothing.lineVolts)).toBe(true);
  });

  it('names what stops the line: the radio, either end of the converter, its output, the amplifier.', () => {
    const amplifier = { ...doors.amplifier!, sensitivityRangeVolts: [0.2, 4] as [number, number] };
    const strong = { ...doors, amplifier, loadVolts: UNKNOWN };
    const at = (sourceVolts: number, converter: StageLimits['converter'] = doors.converter) =>
      solveLevels({ ...strong, sourceVolts, playedVolts: sourceVolts, converter });
    expect(at(2, null)).toMatchObject({ lineLimit: 'the radio', padDb: 0, lineVolts: 2 });
    // 8 V straight into 4 V at most: 6.02 dB.
    expect(at(8, null)).toMatchObject({
      lineLimit: 'amplifier gain at its bottom',
      padDb: expect.closeTo(6.0206, 4),
      lineVolts: 4,
    });
    expect(at(1)).toMatchObject({ lineLimit: 'converter gain at its top', padDb: 0 });
    expect(at(1).lineVolts).toBeCloseTo(10 ** (6 / 20), 9);
    // 400 V less 30 dB are 12.65 V, 10 dB more than 4 V.
    expect(at(400)).toMatchObject({
      lineLimit: 'converter gain at its bottom',
      padDb: expect.closeTo(10, 9),
      lineVolts: 4,
    });
    expect(at(8)).toMatchObject({ lineLimit: 'converter output', bindingLimit: 'amplifier power', padDb: 0 });
    const hotter = { gainRangeDb: [-30, 6], outputLimitVolts: 5 } as const;
    expect(at(8, hotter)).toMatchObject({ lineLimit: 'amplifier gain at its bottom', lineVolts: 4 });
    expect(solveLevels({ ...strong, amplifier: null, sourceVolts: 8 })).toMatchObject({
      outputVolts: null,
      sensitivityVolts: null,
      amplifierGain: null,
      gainOverlapDb: 0,
      bindingLimit: 'converter output',
    });
  });

  it('asks for a pad where the outputs go straight into an amplifier that is too sensitive.', () => {
    const solved = solveLevels({ ...doors, converter: null });
    expect(solved.padDb).toBeCloseTo(20 * Math.log10(7.2 / 2.582), 2);
  });

  it('turns the gain up for an overlap: 2 V at the line, 10 dB of overlap, full output at 0.632 V.', () => {
    const amplifier = {
      ratedVolts: 20,
      sensitivityRangeVolts: [0.1, 8] as [number, number],
      gainOverlapDb: 10,
    };
    const direct = { ...doors, converter: null, amplifier, loadVolts: UNKNOWN };
    const solved = solveLevels({ ...direct, sourceVolts: 2, playedVolts: 2 });
    // A full-scale tone comes 10 dB above what fills the amplifier: 2 / 10^(10/20) V; 20 V from that is a gain of 31.6.
    expect(solved.sensitivityVolts).toBeCloseTo(2 / 10 ** 0.5, 9);
    expect(solved.amplifierGain).toBeCloseTo(20 / (2 / 10 ** 0.5), 6);
    // Music that is recorded 6 dB lower fills it at half the line's volts.
    const quieter = solveLevels({ ...direct, sourceVolts: 2, playedVolts: 1 });
    expect(quieter.sensitivityVolts).toBeCloseTo(1 / 10 ** 0.5, 9);
  });

  it('drops the gain overlap where it would give the load more than it stands, and keeps it elsewhere.', () => {
    const overlapped = { ...doors.amplifier!, gainOverlapDb: 10 };
    expect(solveLevels({ ...doors, amplifier: overlapped }).gainOverlapDb).toBe(0);
    expect(solveLevels({ ...doors, amplifier: overlapped, loadVolts: volts(60, 4) }).gainOverlapDb).toBe(10);
  });

  it('puts an input gain anywhere where nobody noted its range: 0.05 V for full output.', () => {
    const amplifier = { ...doors.amplifier!, sensitivityRangeVolts: null };
    const quiet = {
      ...doors,
      amplifier,
      converter: null,
      sourceVolts: 0.05,
      playedVolts: 0.05,
      loadVolts: UNKNOWN,
    };
    expect(solveLevels(quiet)).toMatchObject({
      sensitivityVolts: expect.closeTo(0.05, 9),
      bindingLimit: 'amplifier power',
    });
  });

  it('keeps every limit for 2000 random sets of parts: ranges, line, load, amplifier.', () => {
    const random = seededRandom(11);
    const log = (range: readonly [number, number]) =>
      Math.exp(random.between([Math.log(range[0]), Math.log(range[1])]));
    for (let i = 0; i < 2000; i++) {
      const sourceVolts = log([0.05, 20]);
      const most = log([0.05, 1]);
      const limits: StageLimits = {
        sourceVolts,
        playedVolts: sourceVolts * random.between([0.2, 1]),
        converter:
          random.uniform() < 0.2
            ? null
            : {
                gainRangeDb: [-random.between([0, 40]), random.between([0, 20])],
                outputLimitVolts: log([1, 10]),
              },
        amplifier: {
          ratedVolts: log([5, 80]),
          sensitivityRangeVolts: [most, most * log([2, 40])],
          gainOverlapDb: random.uniform() < 0.5 ? 0 : random.between([0, 10]),
        },
        loadVolts: random.uniform() < 0.2 ? UNKNOWN : log([3, 80]),
      };
      const solved = solveLevels(limits);
      const amplifier = limits.amplifier!;
      const [least, largest] = amplifier.sensitivityRangeVolts!;
      const slack = 1 + 1e-9;
      // Every knob is within its range, once the pad that is asked for is in.
      expect(solved.sensitivityVolts!).toBeGreaterThanOrEqual(least / slack);
      expect(solved.sensitivityVolts!).toBeLessThanOrEqual(largest * slack);
      const gainDb = 20 * Math.log10(solved.converterGain) + solved.padDb;
      const [lowest, highest] = limits.converter?.gainRangeDb ?? [0, 0];
      expect(gainDb).toBeGreaterThanOrEqual(lowest - 1e-9);
      expect(gainDb).toBeLessThanOrEqual(highest + 1e-9);
      expect(solved.lineVolts).toBeLessThanOrEqual((limits.converter?.outputLimitVolts ?? UNKNOWN) * slack);
      // Nobody gets more than he stands, neither with the tone that fills the amplifier nor with full scale.
      const atFullScale = Math.min(
        amplifier.ratedVolts,
        (solved.lineVolts * limits.playedVolts * solved.amplifierGain!) / sourceVolts,
      );
      expect(solved.outputVolts!).toBeLessThanOrEqual(
        Math.min(amplifier.ratedVolts, limits.loadVolts) * slack,
      );
      expect(atFullScale).toBeLessThanOrEqual(Math.max(limits.loadVolts, solved.outputVolts!) * 1.001);
      // And where no knob ends, somebody's limit is reached.
      if (solved.bindingLimit === 'amplifier power')
        expect(solved.outputVolts!).toBeCloseTo(amplifier.ratedVolts, 9);
      if (solved.bindingLimit === 'load rating') expect(solved.outputVolts!).toBeCloseTo(limits.loadVolts, 9);
    }
  });
});
