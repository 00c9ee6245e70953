import { describe, expect, it } from 'vitest';
import type { ChainFeed } from '../../src/model/chain.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { meterGains } from '../../src/recommend/chain/meter-gains.ts';
import { planAgain } from '../../src/recommend/plan-again.ts';
import { SHEETS } from '../../src/report/sheets.ts';
import { summaryLines } from '../../src/report/verdicts.ts';
import { type CaseName, solvedCase } from './solved-case.ts';

function feedOf(name: CaseName, output: ChainFeed['output']): ChainFeed {
  return solvedCase(name).results.chain!.feeds.find((feed) => feed.output === output)!;
}

function voltsAt(feed: ChainFeed, kind: ChainFeed['nodes'][number]['kind']): number {
  const node = feed.nodes.find((one) => one.kind === kind);
  if (node === undefined || isNotMeasurable(node.voltsRms)) throw new Error(`no volts at ${kind}`);
  return node.voltsRms.value;
}

/** What stands on a sheet, without its markup. */
function sheetText(name: CaseName, fileName: string): string {
  const sheet = SHEETS.find((one) => one.fileName === fileName)!;
  return sheet
    .render(solvedCase(name).results)
    .replace(/<(style|script)[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replace(/&nbsp;|\s+/g, ' ');
}

// What a good installer would do: README.md of this folder. V = sqrt(P R) throughout.
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
});

describe('car b: fuse for wire and system', { timeout: 300_000 }, () => {
  it('finds the 150 A that is there right: at most 250 A for 50 mm2, 111 A drawn', () => {
    const { supply } = solvedCase('b').results.chain!;
    expect(supply!.fullCurrentAmps).toBeCloseTo(1200 / 0.75 / 14.4, 6);
    expect(supply!.fuseAtMostAmps).toBe(250);
    expect(supply!.fittedFuse).toEqual({ amps: 150, verdict: 'right' });
  });

  it('waits with the tweeters: nobody said what protects them behind the sum', () => {
    const { chain } = solvedCase('b').results;
    expect(chain!.verdict).toBe('do it with limits');
    expect(chain!.because.map(codeOf)).toContain('tweeter not protected yet');
  });
});

describe('car e: a limiter that holds the bass at 1.5 V', { timeout: 300_000 }, () => {
  it('says what it leaves: 3.9 V, 4 W of 75 W, from about setting 12 up', () => {
    const held = feedOf('e', 'subwoofer').conditions.find(
      (one) => codeOf(one) === 'bass held by the limiter',
    );
    if (held === undefined || typeof held === 'string' || held.code !== 'bass held by the limiter')
      throw new Error('not said');
    // 1.5 V of 6.6 V, 4 V of line for 6.6 V, 17.3 V for 4 V: 3.94 V, 3.9 W; 12.9 dB below 6.6 V is 12.9 steps below 25.
    expect(held.thresholdVolts!).toBeCloseTo(1.5, 1);
    expect(held.outputVolts!).toBeCloseTo(((1.5 * 4) / 6.6) * (Math.sqrt(75 * 4) / 4), 0);
    expect(held.watts!).toBeCloseTo(3.9, 0);
    expect(held.fromSetting!).toBeCloseTo(25 - 20 * Math.log10(6.6 / 1.5), 0);
  });

  it('sets the subwoofer with 55 Hz below the threshold, never with 997 Hz', () => {
    const gains = recommendationsOf(solvedCase('e').results.recommendations, 'amplifier-gain');
    const setBy = gains.find(({ output }) => output === 'subwoofer')!.targets.find((target) => target.setBy)!;
    expect(setBy.toneHz).toBe(55);
    const atOutput = 6.6 * 10 ** ((setBy.setting - 25 + setBy.driveDbFs) / 20);
    expect(atOutput).toBeLessThan(1.5);
    expect(sheetText('e', 'dial-in-sheet.html')).toContain('meter-55hz');
  });

  it('never says No alone to whether the radio cuts the bass', () => {
    const [, first] = summaryLines(solvedCase('e').results);
    expect(first).toMatch(/^\s*Only where it plays loud: on .* quiet bass stays/);
  });

  it('orders inputs for what the clipped output gives at the highest supply, not for what it would give unclipped', () => {
    const [order] = recommendationsOf(solvedCase('e').results.recommendations, 'order');
    // A square wave of 10.6 V, recorded at 12.5 V, rises to 12.7 V at 15 V; nothing clipped, 40 would give 37 V.
    const rating = order.inputRatingVoltsRms as { value: number };
    expect(rating.value).toBeGreaterThan((10.6 * 15) / 12.5);
    expect(rating.value).toBeLessThan(1.2 * ((10.6 * 15) / 12.5));
  });
});

describe('car f2: line-level outputs of 0.9 V', { timeout: 300_000 }, () => {
  it('runs them straight into line inputs, sensitivity at 0.9 V, without a load or a converter', () => {
    const front = feedOf('f2', 'front');
    expect(front.direct).toBe(true);
    const gain = recommendationsOf(solvedCase('f2').results.recommendations, 'amplifier-gain')[0];
    expect(gain.sensitivityVoltsRms).toBeCloseTo(0.9, 2);
    const [order] = recommendationsOf(solvedCase('f2').results.recommendations, 'order');
    expect(order).toMatchObject({ nothingToOrder: true, converterClass: 'none', level: 'line' });
    expect(codeOf(order.load)).toBe('no load at line level');
    for (const { fileName } of SHEETS) {
      const text = sheetText('f2', fileName);
      expect(text).not.toMatch(/47 ohm|47 Ω|resistor on every/);
      expect(text).not.toContain('4.00 V');
      expect(text).not.toContain('speaker-level inputs');
    }
  });
});

describe('car h: no bass, no clean setting', { timeout: 300_000 }, () => {
  it('says to turn the player down by 8 dB or take another source, and prints no gain', () => {
    const { chain, recommendations } = solvedCase('h').results;
    expect(chain!.verdict).toBe('not like this');
    expect(chain!.player.driveDbFs).toBeCloseTo(-8, 0);
    expect(chain!.because.map(codeOf)).toEqual(
      expect.arrayContaining(['clips before the volume control', 'no bass at any output']),
    );
    for (const kind of ['converter-level', 'amplifier-gain', 'gain-structure'] as const)
      expect(recommendationsOf(recommendations, kind)).toEqual([]);
    expect(sheetText('h', 'dial-in-sheet.html')).not.toMatch(/\d V RMS|\d\.\d+ V\b/);
    // As the first screen says: nothing is bought before that is settled.
    expect(sheetText('h', 'order-sheet.html')).toContain('Nothing yet');
    expect(sheetText('h', 'order-sheet.html')).not.toMatch(/Order a converter|Main fuse/);
  });
});

/** Every number within half a hundredth. */
function nearly(value: unknown): unknown {
  if (typeof value === 'number') return expect.closeTo(value, 2);
  if (Array.isArray(value)) return value.map(nearly);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, nearly(one)]));
}

describe('check, replan and gains beside the chain, of the same recordings', { timeout: 300_000 }, () => {
  it.each(['a', 'b', 'e', 'f2', 'h'] as const)('say the same of car %s', (name) => {
    const { results } = solvedCase(name);
    const chain = results.chain!;
    const known = (tapId: string) =>
      results.checks!.soFar!.find(({ tapIds }) => tapIds.includes(tapId))?.known ?? [];
    const used = chain.taps.filter(({ inUse }) => inUse);
    // The worst of the outputs in use decides how far the volume goes.
    const clean = used.flatMap(({ tapId }) =>
      known(tapId).flatMap((one) =>
        one.code === 'clips between' ? [one.clean] : one.code === 'clean up to' ? [one.setting] : [],
      ),
    );
    if (chain.volume.cleanSetting !== null) expect(Math.min(...clean)).toBe(chain.volume.cleanSetting);
    else expect(clean.length).toBeLessThan(used.length);
    for (const { tapId, limiter, bandHz } of chain.taps) {
      const codes = known(tapId).map(codeOf);
      if (limiter !== null) expect(codes).toContain('limiter holds bass');
      expect(codes.includes('full range')).toBe(bandHz[0] === null && bandHz[1] === null);
    }
    // Responses are kept with five digits: the same to a hundredth of a volt, a decibel or a hertz.
    const again = planAgain(results, results.session.equipment!).results.chain;
    expect(JSON.parse(JSON.stringify(again))).toEqual(nearly(JSON.parse(JSON.stringify(chain))));
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
