import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { EARLIEST_SECONDS, LATEST_SECONDS } from '../../../src/dsp/sweep-residual.ts';
import { SECTION_LEAD_SECONDS } from '../../../src/dsp/sweep-response.ts';
import { NO_ANNOUNCEMENTS } from '../../../src/measure/disturbances/find-announcements.ts';
import { sectionResponses, withoutKnocks } from '../../../src/measure/sweeps/section-response.ts';
import { takeReader } from '../../../src/measure/take-reader.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { fullTrack, sectionOf } from '../../../src/tones/track.ts';
import { memorySound } from '../../memory-sound.ts';
import { playedTrack } from '../../played-track.ts';

const RATE = 44_100;
const SWEEP = sectionOf(fullTrack, 'sweep', 'sweep left')!;
const NOISE = 1e-5;
/** In the recording; the sweep begins 0.5 s into it, and its section as much before that as is read. */
const BEGINS = 0.5;
const READ_FROM = BEGINS - SECTION_LEAD_SECONDS;
const take = { track: fullTrack, startSeconds: BEGINS - SWEEP.startSeconds, score: 3, missing: [] };

/** The sweep at half, with white noise over a stretch. */
function sectionWith(struck: { atSeconds: number; seconds: number; rms: number } | null) {
  const track = { ...fullTrack, sections: [{ ...SWEEP, startSeconds: 0 }], durationSeconds: 6 };
  const samples = playedTrack({
    track,
    sampleRateHz: RATE,
    leadSeconds: BEGINS,
    tailSeconds: 1,
    left: 0.5,
    right: 0,
    noiseRms: NOISE,
  });
  const random = seededRandom(9);
  if (struck !== null) {
    const from = Math.round(struck.atSeconds * RATE);
    for (let n = from; n < from + struck.seconds * RATE; n++) samples[n] += struck.rms * random.gaussian();
  }
  const reader = takeReader({
    sound: memorySound({ sampleRateHz: RATE, channels: [samples] }),
    take,
    channels: [0],
  });
  return sectionResponses(reader, SWEEP);
}
/** The sweep passes 10 x 2000^(t / 6) Hz after t seconds (closed form of the exponential sweep). */
const hzAfter = (seconds: number) => 10 * 2000 ** (seconds / 6);
const pointOf = (hz: number) => gridFrequencyHz.findIndex((one) => one >= hz);
const KNOCK = { atSeconds: BEGINS + 3, seconds: 0.03, rms: 0.03 };

describe('a sweep that was struck', () => {
  const section = sectionWith(KNOCK);
  const cleaned = withoutKnocks(section, 0, NO_ANNOUNCEMENTS)!;
  const size = (hz: number) =>
    Math.hypot(cleaned.response.real[pointOf(hz)], cleaned.response.imag[pointOf(hz)]);

  it('is told when, and which frequencies it passed meanwhile.', () => {
    expect(cleaned.announcements).toEqual([]);
    expect(cleaned.knocks).toHaveLength(1);
    const [{ atSeconds, spoiltHz }] = cleaned.knocks;
    // What is filtered with it hangs on for some frames of 10 ms on either side.
    expect(Math.abs(atSeconds - KNOCK.atSeconds)).toBeLessThan(0.035);
    expect(spoiltHz[0]).toBeLessThan(hzAfter(3));
    expect(spoiltHz[1]).toBeGreaterThan(hzAfter(3.03));
    // No further than a window of 50 ms reaches: 40 ms and more of the sweep are a twentieth of an octave.
    expect(spoiltHz[1] / spoiltHz[0]).toBeLessThan(2 ** 0.75);
  });

  it('reads as without it where the sweep was elsewhere.', () => {
    for (const hz of [40, 150, 1500, 9000]) expect(size(hz), `${hz} Hz`).toBeCloseTo(0.5, 3);
  });

  // A burst of n samples of rms r holds r sqrt(n) at every frequency; the sweep at f A sqrt(L / f) / 2 of the rate (L: its
  // duration over the logarithm of its range).
  it('is as unsure there as the burst is against the sweep, and no less sure than before far away.', () => {
    const clean = sectionWith(null).channels[0];
    const middle = hzAfter(3.015);
    const burst = KNOCK.rms * Math.sqrt(KNOCK.seconds * RATE);
    const sweep = (10 ** (-18 / 20) / 2) * Math.sqrt(6 / Math.log(2000) / middle) * RATE;
    expect(cleaned.response.sigma[pointOf(middle)] / (burst / sweep)).toBeGreaterThan(0.6);
    expect(cleaned.response.sigma[pointOf(middle)] / (burst / sweep)).toBeLessThan(1.4);
    for (const hz of [100, 2000])
      expect(cleaned.response.sigma[pointOf(hz)] / clean.sigma[pointOf(hz)], `${hz} Hz`).toBeLessThan(2);
    const falls = [3.015, 3.1, 3.2].map((after) => cleaned.response.sigma[pointOf(hzAfter(after))]);
    expect(falls[0] > 3 * falls[1] && falls[1] > falls[2]).toBe(true);
  });

  it('is left alone where nothing struck it, or what did is the radio’s.', () => {
    expect(withoutKnocks(sectionWith(null), 0, NO_ANNOUNCEMENTS)).toBeNull();
    expect(withoutKnocks(section, 0, NO_ANNOUNCEMENTS, () => true)).toBeNull();
  });
});

describe('a sweep that was spoken into', () => {
  const section = sectionWith({ atSeconds: BEGINS + 2, seconds: 0.5, rms: 0.01 });
  const burst = {
    from: Math.round((BEGINS + 2 - READ_FROM) * RATE),
    to: Math.round((BEGINS + 2.5 - READ_FROM) * RATE),
  };

  it('is not known where the sweep passed meanwhile, and as far as what arrives there may come early or late.', () => {
    const { announcements, knocks, response } = withoutKnocks(section, 0, { clear: [burst], faint: [] })!;
    expect(knocks).toEqual([]);
    const [{ fromSeconds, toSeconds, spoiltHz }] = announcements;
    expect([fromSeconds, toSeconds].map((seconds) => seconds - BEGINS)).toEqual([
      expect.closeTo(2, 4),
      expect.closeTo(2.5, 4),
    ]);
    expect(spoiltHz[0] / hzAfter(2 - LATEST_SECONDS)).toBeCloseTo(1, 3);
    expect(spoiltHz[1] / hzAfter(2.5 + EARLIEST_SECONDS)).toBeCloseTo(1, 3);
    const unsure = (hz: number) => {
      const i = pointOf(hz);
      return response.sigma[i] >= Math.hypot(response.real[i], response.imag[i]);
    };
    const inside = [hzAfter(1.8), hzAfter(2.2), hzAfter(2.55)];
    const outside = [hzAfter(1.6), hzAfter(2.7)];
    expect([inside.map(unsure), outside.map(unsure)]).toEqual([
      [true, true, true],
      [false, false],
    ]);
  });

  it('that is too faint to be named is only less sure.', () => {
    const { announcements, knocks, response } = withoutKnocks(section, 0, { clear: [], faint: [burst] })!;
    expect([announcements, knocks]).toEqual([[], []]);
    const i = pointOf(hzAfter(2.2));
    expect(response.sigma[i]).toBeLessThan(0.5);
    expect(response.sigma[i]).toBeGreaterThan(0.005);
  });
});
