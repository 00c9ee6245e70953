import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { renderTrack } from '../../src/tones/render-track.ts';
import { fullTrack, sectionOf } from '../../src/tones/track.ts';
import { describeWith, runOutside } from '../outside-programs.ts';

const RATE_HZ = 44_100;

let folder: string;
let path: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-track-'));
  path = join(folder, 'track.wav');
  const { left, right } = renderTrack(fullTrack, RATE_HZ);
  writeFileSync(path, encodeWav({ sampleRateHz: RATE_HZ, channels: [left, right], bitDepth: '16' }));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describeWith(['sox'], 'the full track as a file', () => {
  it('is stereo, 16-bit, 44.1 kHz and 44 s to sox', () => {
    const info = (what: string) => runOutside('sox', ['--i', what, path]).trim();
    expect(['-c', '-b', '-r', '-D'].map(info)).toEqual(['2', '16', '44100', '44.000000']);
  });

  // sox counts a full-scale sine as -3.01 dB RMS; AES17 as 0.
  it.each([
    ['the last bass step', 27.05, 0.0909, 0, 0],
    ['the last middle step', 30.14, 0.05, 0, 0],
    ['the last treble step', 31.473, 0.02, -3, 0],
    ['the left sweep on the left', 3, 3, -18, 0],
    ['the right sweep on the right', 10, 3, -18, 1],
    ['the low sweep on the left', 17, 2, -36, 0],
    ['the low sweep on the right', 17, 2, -36, 1],
    ['the right side under the left sweep: dither alone', 3, 3, -93.32, 1],
    ['the left side under the right sweep: dither alone', 10, 3, -93.32, 0],
  ])('has the level that it should to sox: %s', (_, startSeconds, seconds, levelDbFs, side) => {
    expect(Math.abs(levelBySox(startSeconds, seconds)[side] + 3.01 - levelDbFs)).toBeLessThan(0.1);
  });

  it('is silent to sox in its silence', () => {
    const { startSeconds } = sectionOf(fullTrack, 'silence', 'silence')!;
    expect(levelBySox(startSeconds + 0.01, 3.6)).toEqual([
      Number.NEGATIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
    ]);
  });
});

describeWith(['scipy'], 'the sweeps of the full track as a file', () => {
  it('have the frequency of the closed form to scipy', () => {
    // Instantaneous frequency from the analytic signal (Hilbert transform), averaged over 20 ms, at the times at which
    // the closed form f1 (f2/f1)^(t/T) passes these frequencies. The mean of an exponential over 20 ms lies above its
    // middle: f sinh(x) / x with x = 0.01 ln(f2/f1) / T.
    const points = (['sweep left', 'sweep both low', 'closing left'] as const).flatMap((id) => {
      const { startSeconds, sweep } = sectionOf(fullTrack, 'sweep', id)!;
      const growth = Math.log(sweep.endHz / sweep.startHz);
      const x = (0.01 * growth) / sweep.durationSeconds;
      return [200, 632.4555, 2000, 6000].map((frequencyHz) => ({
        from: startSeconds,
        to: startSeconds + sweep.durationSeconds,
        at: startSeconds + (sweep.durationSeconds * Math.log(frequencyHz / sweep.startHz)) / growth,
        expectedHz: (frequencyHz * Math.sinh(x)) / x,
      }));
    });
    const answer = runOutside('scipy', [
      `
import json, numpy as np, scipy.io.wavfile as w, scipy.signal as s
rate, x = w.read(${JSON.stringify(path)})
def frequency(p):
    a, b = int(p['from'] * rate), int(p['to'] * rate)
    phase = np.unwrap(np.angle(s.hilbert(x[a:b, 0].astype(float))))
    at = lambda t: np.interp(t * rate - a, np.arange(b - a), phase)
    return (at(p['at'] + 0.01) - at(p['at'] - 0.01)) / (2 * np.pi * 0.02)
print(json.dumps([frequency(p) for p in ${JSON.stringify(points)}]))
`,
    ]);
    const measuredHz: number[] = JSON.parse(answer);
    expect(measuredHz).toHaveLength(points.length);
    points.forEach(({ expectedHz }, i) => {
      expect(Math.abs(measuredHz[i] / expectedHz - 1)).toBeLessThan(1e-3);
    });
  });
});

/** RMS of left and right in decibels, in sox's convention. */
function levelBySox(startSeconds: number, seconds: number): number[] {
  const script = ['trim', `${startSeconds}`, `${seconds}`, 'stats'];
  const report = runOutside('sox', [path, '-n', ...script], { stream: 'stderr' });
  const line = /^RMS lev dB +\S+ +(\S+) +(\S+)/m.exec(report);
  return [line?.[1], line?.[2]].map((text) => (text === '-inf' ? Number.NEGATIVE_INFINITY : Number(text)));
}
