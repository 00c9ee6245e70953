import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import { sweepTimeOf } from '../../src/dsp/sweep.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { sweepSections } from '../../src/takes/choose-takes.ts';
import { continuityOf, type Repetition } from '../../src/takes/continuity.ts';
import { fullTrack } from '../../src/tones/track.ts';

const SAMPLE_RATE_HZ = 48_000;
const sections = new Map(sweepSections(fullTrack).map((section) => [section.id as string, section]));
const startSeconds = new Map([...sections].map(([id, section]) => [id, section.startSeconds]));
const passes = (id: string, hz: number) =>
  sections.get(id)!.startSeconds + sweepTimeOf(sections.get(id)!.sweep, hz);

/** When a section is heard late by so many seconds at a frequency, its response turns by -2 pi f times that (the shift theorem). */
function heard(id: string, lateSeconds: (id: string, hz: number) => number, seed: number) {
  const random = seededRandom(seed);
  const angle = (hz: number) => -2 * Math.PI * hz * lateSeconds(id, hz);
  return {
    real: gridFrequencyHz.map((hz) => Math.cos(angle(hz)) + 1e-3 * random.gaussian()),
    imag: gridFrequencyHz.map((hz) => Math.sin(angle(hz)) + 1e-3 * random.gaussian()),
    sigma: gridFrequencyHz.map(() => 1e-3),
  };
}

function continuity(lateSeconds: (id: string, hz: number) => number) {
  const repetition = (earlier: string, later: string, seed: number): Repetition => ({
    earlier: [earlier],
    later,
    one: heard(earlier, lateSeconds, seed),
    other: heard(later, lateSeconds, seed + 1),
    secondsBetween: gridFrequencyHz.map((hz) => passes(later, hz) - passes(earlier, hz)),
  });
  return continuityOf({
    repetitions: [
      repetition('sweep left', 'closing left', 1),
      repetition('sweep left', 'sweep both low', 3),
      repetition('sweep right', 'closing right', 5),
      repetition('sweep right', 'sweep both low', 7),
    ],
    frequencyHz: gridFrequencyHz,
    startSeconds,
    sampleRateHz: SAMPLE_RATE_HZ,
  });
}

describe('the time between the sections of a take', () => {
  test.each([0, 0.3, -5])('runs evenly whatever is left of the clocks: %s ppm', (ppm) => {
    expect(continuity((id, hz) => ppm * 1e-6 * passes(id, hz))).toEqual({ slip: null, torn: [] });
  });

  test.each([
    [1, 'sweep left', 'sweep right'],
    [-1, 'sweep both low', 'closing left'],
    [100, 'sweep right', 'sweep both low'],
    [-2400, 'sweep both low', 'closing left'],
  ])('%i samples late behind a section are a slip there, with its size', (samples, after, before) => {
    const late = samples / SAMPLE_RATE_HZ;
    const { slip, torn } = continuity((id) =>
      startSeconds.get(id)! >= startSeconds.get(before)! ? late : 0,
    );
    expect(torn).toEqual([]);
    expect(slip).toEqual({ after, before, milliseconds: expect.closeTo(1000 * late, 3) });
  });

  test('a slip that was taken for a difference of the clocks is found all the same', () => {
    // 100 samples over the 30.7 s from opening to closing sweep would be 68 ppm.
    const late = (id: string, hz: number) =>
      (id.startsWith('closing') ? 100 / SAMPLE_RATE_HZ : 0) - 68e-6 * passes(id, hz);
    const { slip } = continuity(late);
    expect(slip).toMatchObject({ after: 'sweep both low', before: 'closing left' });
    expect(Math.abs(slip!.milliseconds! - 2.083)).toBeLessThan(0.02);
  });

  test('a sweep that lost samples halfway is torn', () => {
    const late = (id: string, hz: number) => (id === 'sweep left' && hz > 1500 ? -100 / SAMPLE_RATE_HZ : 0);
    expect(continuity(late)).toEqual({ slip: null, torn: ['sweep left'] });
  });
});
