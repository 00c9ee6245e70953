import { describe, expect, it } from 'vitest';
import { tapSeries } from '../../src/findings/tap-series.ts';
import { codeOf } from '../../src/model/reason.ts';
import { clippingProof } from '../../src/verify/clipping-proof.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import type { RecordedFeed } from '../../src/verify/recorded-feed.ts';
import { measurementsOf, sessionOf, tapOf } from '../findings/synthetic.ts';
import { plannedFeed } from './exact-recordings.ts';

/** A hard clip reaches 1 % of distortion 0.27 dB past the rail (closed form; common practice). */
const PAST_RAIL_DB = 0.27;
const AMPLIFIER = { gainOverlapDb: 0, fullOutputVoltsRms: 20 };

/** Clips where the peak of a tone meets the rail at this drive; 1 dB of volume a setting, -20 dBFS at setting 20. */
function feed(of: {
  clipsAtDbFs?: (setting: number, toneHz: number) => number;
  settings?: readonly number[];
  amplifier?: object | null;
  node?: RecordedFeed['node'] | undefined;
  responseTrackOnly?: boolean | undefined;
}): RecordedFeed {
  const { clipsAtDbFs, settings = [20], node = 'amplifier output', responseTrackOnly } = of;
  const measurements = measurementsOf({
    radio: {
      gainDb: (setting) => setting - 40,
      voltsPerFullScale: 100,
      responseTrackOnly,
      ...(clipsAtDbFs && { clip: { driveDbFs: clipsAtDbFs, beforeFilters: false } }),
    },
    settings,
  });
  const [series] = tapSeries({ session: sessionOf([tapOf()]), measurements });
  const amplifier = of.amplifier === undefined ? AMPLIFIER : of.amplifier;
  const planned = plannedFeed({ amplifier: amplifier as PlannedFeed['amplifier'] });
  return { planned, series, node, restoration: 'none' };
}

const judge = (recorded: RecordedFeed, more: Partial<Parameters<typeof clippingProof>[1]> = {}) =>
  clippingProof(recorded, { highestCleanSetting: null, levelDb: null, converter: null, ...more });

describe('clipping behind an install', () => {
  it('is found by drive, tone and volts: a rail 6 dB low shows at -5.73 dBFS of drive.', () => {
    const found = judge(feed({ clipsAtDbFs: () => -6 }));
    expect(found).toMatchObject({
      verdict: 'fail',
      knob: 'amplifier gain',
      setting: 20,
      unit: 'dBFS of drive',
      expected: 0,
      tolerance: 0.5,
      found: expect.closeTo(-6 + PAST_RAIL_DB, 1),
    });
    // 100 V a full scale, -20 dB of gain, -5.73 dB of drive less the 0.1 dB that the clip takes: 5.1 V.
    expect(found.text).toMatchObject({
      code: 'clips too early',
      earlyDb: expect.closeTo(6 - PAST_RAIL_DB, 1),
      voltsRms: expect.closeTo(5.1, 0),
      // Less than the rated 20 V, with no gain too high to explain it: supply or load.
      plannedVolts: 20,
    });
  });

  it('passes within half a decibel of full scale, and where nothing clips.', () => {
    expect(judge(feed({ clipsAtDbFs: () => -0.6 })).verdict).toBe('pass');
    expect(judge(feed({ clipsAtDbFs: () => -1 })).verdict).toBe('fail');
    const clean = judge(feed({}));
    expect(clean).toMatchObject({
      verdict: 'pass',
      knob: null,
      text: { code: 'clean up to the planned drive' },
    });
  });

  it('is allowed by as much as the gain overlap, at the amplifier only.', () => {
    const amplifier = { ...AMPLIFIER, gainOverlapDb: 5 };
    const clip = { clipsAtDbFs: () => -5, amplifier };
    expect(judge(feed(clip))).toMatchObject({ verdict: 'pass', expected: -5 });
    expect(judge(feed({ ...clip, clipsAtDbFs: () => -6.5 })).verdict).toBe('fail');
    expect(judge(feed({ ...clip, node: 'converter output' }))).toMatchObject({
      verdict: 'fail',
      expected: 0,
      knob: 'converter level',
    });
  });

  it('above the highest clean setting is the radio’s.', () => {
    const recorded = feed({ clipsAtDbFs: (setting) => 25 - setting - 0.2, settings: [20, 30] });
    expect(judge(recorded, { highestCleanSetting: 25 }).verdict).toBe('pass');
    expect(judge(recorded, { highestCleanSetting: 30 })).toMatchObject({ verdict: 'fail', setting: 30 });
    expect(judge(recorded)).toMatchObject({ verdict: 'fail', setting: 30 });
  });

  it('is told by the tone and setting that clip first.', () => {
    const recorded = feed({
      clipsAtDbFs: (setting, toneHz) => (toneHz < 100 ? -9 : -3) + 20 - setting,
      settings: [20, 23],
    });
    expect(judge(recorded)).toMatchObject({ setting: 23, found: expect.closeTo(-12 + PAST_RAIL_DB, 0) });
    expect(judge(recorded).text).toMatchObject({ toneHz: 55 });
  });

  it('is the converter’s fault where the converter’s own recording clips as early at that setting and tone.', () => {
    const recorded = feed({ clipsAtDbFs: () => -6 });
    const with6 = (clipsAtDbFs: (setting: number, toneHz: number) => number, settings = [20]) =>
      judge(recorded, { converter: feed({ clipsAtDbFs, settings, node: 'converter output' }) });
    expect(with6(() => -6)).toMatchObject({ knob: 'converter level', text: { plannedVolts: null } });
    expect(with6(() => -5.7).knob).toBe('converter level');
    expect(with6(() => -4).knob).toBe('amplifier gain');
    expect(with6(() => -6, [24]).knob).toBe('amplifier gain');
    expect(judge(recorded, { converter: feed({ node: 'converter output' }) }).knob).toBe('amplifier gain');
    expect(judge(feed({ clipsAtDbFs: () => -6, amplifier: null })).knob).toBe('converter level');
  });

  it('names no volts where too much gain explains it, or the rated volts are there.', () => {
    const planned = (levelDb: number | null, fullOutputVoltsRms = 20) => {
      const amplifier = { ...AMPLIFIER, fullOutputVoltsRms };
      const { text } = judge(feed({ clipsAtDbFs: () => -6, amplifier }), { levelDb });
      return codeOf(text) === 'clips too early'
        ? (text as { plannedVolts: unknown }).plannedVolts
        : 'missing';
    };
    expect(planned(6)).toBeNull();
    expect(planned(5)).toBeNull();
    expect(planned(4)).toBe(20);
    expect(planned(-6)).toBe(20);
    expect(planned(null, 4)).toBeNull();
  });

  it('is not told by a track without tones.', () => {
    expect(judge(feed({ responseTrackOnly: true }))).toMatchObject({
      verdict: 'not told',
      text: { code: 'clipping needs the full track' },
    });
  });
});
