import { describe, expect, it } from 'vitest';
import type { ChainFeed } from '../../src/model/chain.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { meterGains } from '../../src/recommend/chain/meter-gains.ts';
import { expectTheSameOf, feedOf, sheetText, voltsAt } from './case-answers.ts';
import { solvedCase } from './solved-case.ts';

// What a good installer would do: README.md of this folder; figures by the scenario's own closed forms, V = sqrt(P R).
describe('car a: 25 W doors on 60 W, two woofers of 300 W that make 2 ohm', { timeout: 300_000 }, () => {
  it('turns the converter down to 2.58 V for 10.0 V at the doors, as the gain ends at 4 V', () => {
    const doors = feedOf('a', 'front');
    expect(voltsAt(doors, 'converter output')).toBeCloseTo((4 * 10) / Math.sqrt(60 * 4), 2);
    expect(voltsAt(doors, 'load')).toBeCloseTo(10, 6);
    expect(doors).toMatchObject({ bindingLimit: 'load rating' });
    const text = sheetText('a', 'dial-in-sheet.html');
    expect(text).toContain('2.58 V');
    expect(text).toContain('10.00 V');
    expect(text).not.toContain('15.5 V');
  });

  it('gives both woofers their 300 W: 34.6 V, if the amplifier stands 2 ohm', () => {
    const woofers = feedOf('a', 'subwoofer');
    expect(voltsAt(woofers, 'load')).toBeCloseTo(Math.sqrt(600 * 2), 1);
    expect(woofers.wattsAtLoad).toBeCloseTo(600, 3);
    expect(woofers.conditions.map(codeOf)).toContain('lowest load not noted');
    const text = sheetText('a', 'dial-in-sheet.html');
    expect(text).toContain('34.6 V');
    expect(text).not.toContain('24.5 V');
  });

  it('works the supply out for the 1000 W that 44.7 V make in 2 ohm, on every sheet alike', () => {
    const { supply } = solvedCase('a').results.chain!;
    expect(supply!.fullCurrentAmps).toBeCloseTo((4 * 60 + 1000) / 0.75 / 14.4, 6);
    // AWG 4 is 21.15 mm2 (ASTM B258): at most 100 A; the 80 A that is there blows, and no fuse fits.
    expect(supply).toMatchObject({ fuseAtMostAmps: 100, fuseAtLeastAmps: 125, fuseAmps: null });
    expect(supply!.fittedFuse).toEqual({ amps: 80, verdict: 'too small' });
    for (const sheet of ['order-sheet.html', 'hand-over-sheet.html'])
      expect(sheetText('a', sheet)).toContain('115 A');
  });

  it('restores and adds nothing, and prints the 12 dB filter as one', () => {
    const { recommendations } = solvedCase('a').results;
    expect(recommendationsOf(recommendations, 'restoration')[0]).toMatchObject({ verdict: 'none needed' });
    expect(recommendationsOf(recommendations, 'feed').every(({ summed }) => !summed)).toBe(true);
    const filters = recommendationsOf(recommendations, 'filter');
    expect(filters.find(({ output }) => output === 'front')).toMatchObject({ slopeDbPerOctave: 12 });
    expect(filters.find(({ type }) => type === 'low-pass')).toMatchObject({ slopeDbPerOctave: 24 });
  });

  it('is told the same by check and by planning it again', () => {
    expectTheSameOf('a');
  });

  it('gains, from a meter at the outputs of car a, sets the doors as the chain does', () => {
    const doors = feedOf('a', 'front');
    const { ratedWatts, ratedOhms } = doors.amplifier!;
    const line = doors.nodes.find(({ kind }) => kind === 'converter output')!;
    const reading = (kind: ChainFeed['nodes'][number]['kind']) => {
      const { voltsRms } = doors.nodes.find((node) => node.kind === kind)!.knob!.reading;
      return isNotMeasurable(voltsRms) ? 0 : voltsRms.value;
    };
    const gains = meterGains({
      readings: [100, 997].map((toneHz) => ({ toneHz, driveDbFs: 0, voltsRms: voltsAt(doors, 'output') })),
      quietReadings: [],
      lineVolts: line.limitVoltsRms!,
      watts: ratedWatts,
      ohms: ratedOhms,
      gainOverlapDb: 0,
      speakerWatts: doors.load!.ratedWatts,
      sensitivityRangeVolts: doors.nodes.find(({ kind }) => kind === 'amplifier output')!.knob!.range,
      mostRestorationDb: 12,
      inputLimitVolts: null,
    });
    const [{ readings }] = gains.tones;
    expect(readings[0].lineVoltsOff).toBeCloseTo(reading('converter output'), 2);
    expect(readings[0].speakerVoltsOff).toBeCloseTo(reading('amplifier output'), 1);
  });
});
