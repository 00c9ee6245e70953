import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { beforeAndAfterClips, PEAK_DBFS } from '../../src/clips/clips.ts';
import { convolved } from '../../src/clips/convolve.ts';
import { minimumPhase } from '../../src/clips/minimum-phase.ts';
import { phrase } from '../../src/clips/phrase.ts';
import { evaluateSections, lowShelfSections } from '../../src/dsp/filter-prototype.ts';
import { seededRandom } from '../../src/dsp/random.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { Results } from '../../src/model/results.ts';
import { describeWith, runOutside } from '../outside-programs.ts';
import { resultsOf } from '../recommend/results-of.ts';
import { FULL_RANGE, pair, planInput } from '../recommend/synthetic.ts';

const RATE_HZ = 48_000;
const SHELF = lowShelfSections({ gainDb: -8 });
const shelf = (frequencyHz: number) =>
  evaluateSections(SHELF, { frequencyHz, cornerHz: 160, sampleRateHz: null });

describe('a filter made from a magnitude', () => {
  it('has the phase of the analogue shelf, which is minimum-phase (closed form)', () => {
    const levelDb = gridFrequencyHz.map((hz) => {
      const { real, imag } = shelf(hz);
      return 20 * Math.log10(Math.hypot(real, imag));
    });
    const impulse = minimumPhase({ levelDb, sampleRateHz: RATE_HZ });
    for (const hz of [40, 80, 160, 400, 2000]) {
      const found = transformAt(impulse, hz);
      const wanted = shelf(hz);
      expect(Math.abs(found.real - wanted.real), `${hz} Hz`).toBeLessThan(0.01);
      expect(Math.abs(found.imag - wanted.imag), `${hz} Hz`).toBeLessThan(0.01);
    }
  });

  it('is convolved as by the sum itself, across blocks and at the end', () => {
    const random = seededRandom(3);
    const samples = Float64Array.from({ length: 300 }, () => random.gaussian());
    const impulse = Float64Array.from({ length: 64 }, () => random.gaussian());
    const direct = samples.map((_, n) =>
      impulse.reduce((sum, value, k) => (n >= k ? sum + value * samples[n - k] : sum), 0),
    );
    const fast = convolved(samples, impulse);
    expect(Math.max(...fast.map((value, n) => Math.abs(value - direct[n])))).toBeLessThan(1e-11);
  });
});

describe('clips of a radio that takes 8 dB of bass away', () => {
  const results = losing();
  const programme = phrase({ sampleRateHz: RATE_HZ, seed: 1 });
  const { clips, restoredDb, feedId } = beforeAndAfterClips({ results, programme, sampleRateHz: RATE_HZ });

  it('are three, on one scale whose highest peak is 3 dB below full scale', () => {
    expect(feedId).toBe('feed-subwoofer');
    expect(clips.map(({ name }) => name)).toEqual(['1-quiet', '2-loud-factory', '3-loud-restored']);
    const peak = Math.max(
      ...clips.flatMap(({ left, right }) =>
        [left, right].map((side) => side.reduce((a, b) => Math.max(a, Math.abs(b)), 0)),
      ),
    );
    expect(20 * Math.log10(peak)).toBeCloseTo(PEAK_DBFS, 6);
    expect(restoredDb).toBeGreaterThan(7);
  });

  it('a feed that the plan does not have is met with one that it has', () => {
    const ask = () =>
      beforeAndAfterClips({ results, programme, sampleRateHz: RATE_HZ, feedId: 'feed-subwofer' });
    expect(ask).toThrow(/feed-subwoofer/);
  });

  describeWith(['sox'], 'as sox measures them', () => {
    const folder = mkdtempSync(join(tmpdir(), 'steptone-clips-'));
    afterAll(() => rmSync(folder, { recursive: true, force: true }));

    it('are as loud as one another in the mid band, and the factory clip lacks bass that the restored one has', () => {
      const levels = clips.map(({ name, left, right }) => {
        const file = join(folder, `${name}.wav`);
        writeFileSync(file, encodeWav({ sampleRateHz: RATE_HZ, channels: [left, right], bitDepth: '24' }));
        const rms = (...band: string[]) => {
          const stats = runOutside('sox', [file, '-n', ...band, 'stats'], { stream: 'stderr' });
          return Number(/RMS lev dB\s+(-?[\d.]+)/.exec(stats)?.[1]);
        };
        // sox's own windowed sincs, steep enough that neighbours stay out.
        return { mid: rms('sinc', '-t', '50', '400-2500'), bass: rms('sinc', '-t', '10', '35-70') };
      });
      const [quiet, factory, restored] = levels;
      const lossAt = (hz: number) => -20 * Math.log10(Math.hypot(shelf(hz).real, shelf(hz).imag));
      // What the shelf still takes at 400 Hz is in the mid band too.
      for (const { mid } of levels) expect(Math.abs(mid - quiet.mid)).toBeLessThan(0.1 + lossAt(400));
      const lost = quiet.bass - factory.bass - (quiet.mid - factory.mid);
      expect(lost).toBeGreaterThan(lossAt(75));
      expect(lost).toBeLessThan(lossAt(30));
      expect(Math.abs(restored.bass - quiet.bass)).toBeLessThan(0.3);
    });
  });
});

function losing(): Results {
  const settings = [12, 16, 20, 32];
  const input = planInput({
    taps: pair('front', {
      band: FULL_RANGE,
      response: (hz, setting) => (setting === 32 ? shelf(hz) : { real: 1, imag: 0 }),
    }),
    settings,
    volts: { at: 32, rms: 8 },
    railVoltsPeak: 12.6,
    bassChange: { verdict: 'falls with volume', plateauSettings: [12, 16, 20] },
    equipment: {
      converter: { inputs: 4, inputLimitVoltsRms: 20, restoration: { kind: 'dynamic', maximumDb: 12 } },
    },
  });
  return resultsOf(input);
}

/** The sum that defines the transform, at one frequency. */
function transformAt(impulse: Float64Array, hz: number): { real: number; imag: number } {
  const step = (2 * Math.PI * hz) / RATE_HZ;
  return impulse.reduce(
    ({ real, imag }, value, n) => ({
      real: real + value * Math.cos(step * n),
      imag: imag - value * Math.sin(step * n),
    }),
    { real: 0, imag: 0 },
  );
}
