import { expect, test } from 'vitest';
import {
  clippedSineHarmonic,
  clippedSineLevelDb,
  clippedSineThd,
  clipRatioForLoss,
  clipRatioForThd,
} from '../../src/dsp/clip-distortion.ts';

/**
 * scipy/numpy: FFT of 65536 points of np.clip(np.sin(2*np.pi*n/65536), -r, r); columns r, b1, b3, b5, THD of harmonics
 * 2 to 10 in percent, fundamental in dB against the unclipped sine. The last digit printed is the tolerance.
 */
const TABLE = [
  [0.999, 0.999962, 0.000038, -0.000038, 0.007531, -0.0003],
  [0.99, 0.998801, 0.00118, -0.001142, 0.221897, -0.0104],
  [0.95, 0.98668, 0.012275, -0.01036, 1.889822, -0.1165],
  [0.9, 0.962614, 0.031635, -0.022018, 4.189833, -0.331],
  [0.8, 0.895912, 0.073339, -0.031096, 8.949059, -0.9547],
  [0.7, 0.81188, 0.108204, -0.019909, 13.716716, -1.8102],
  [0.5, 0.608998, 0.137832, 0.027566, 23.247823, -4.3077],
  [0.3, 0.376162, 0.110528, 0.050401, 32.863879, -8.4925],
] as const;

test('harmonics, distortion and level of a clipped sine agree with the FFT of one', () => {
  for (const [ratio, b1, b3, b5, thdPercent, levelDb] of TABLE) {
    expect(clippedSineHarmonic({ ratio, harmonic: 1 })).toBeCloseTo(b1, 6);
    expect(clippedSineHarmonic({ ratio, harmonic: 3 })).toBeCloseTo(b3, 6);
    expect(clippedSineHarmonic({ ratio, harmonic: 5 })).toBeCloseTo(b5, 6);
    expect(100 * clippedSineThd({ ratio, highestHarmonic: 10 })).toBeCloseTo(thdPercent, 5);
    expect(clippedSineLevelDb(ratio)).toBeCloseTo(levelDb, 4);
    if (ratio < 0.98) expect(clipRatioForLoss(-levelDb)).toBeCloseTo(ratio, 3);
  }
});

test('a sine clipped at 0.8 has the harmonics that ngspice finds', () => {
  // ngspice: B1 o 0 V=min(max(v(in),-0.8),0.8); set nfreqs=10 polydegree=1 fourgridsize=20000; fourier 1000 v(o)
  expect(100 * clippedSineThd({ ratio: 0.8, highestHarmonic: 10 })).toBeCloseTo(8.94906, 4);
  expect(Math.abs(clippedSineHarmonic({ ratio: 0.8, harmonic: 7 }))).toBeCloseTo(0.000318498, 5);
  expect(Math.abs(clippedSineHarmonic({ ratio: 0.8, harmonic: 9 }))).toBeCloseTo(0.00908598, 5);
});

test('one percent of distortion is reached 0.265 dB over the clip point when harmonics to the tenth are summed', () => {
  // scipy.optimize.brentq on the closed form: 0.1, 1, 3, 5, 10 and 30 percent.
  const ratios = [0.99425, 0.969945, 0.925765, 0.882638, 0.778122, 0.358165];
  [0.001, 0.01, 0.03, 0.05, 0.1, 0.3].forEach((thd, i) => {
    expect(clipRatioForThd({ thd, highestHarmonic: 10 })).toBeCloseTo(ratios[i], 6);
  });
  expect(-20 * Math.log10(clipRatioForThd({ thd: 0.01, highestHarmonic: 10 }))).toBeCloseTo(0.265, 3);
});

test('a sine that is not clipped is a sine', () => {
  expect(clippedSineHarmonic({ ratio: 1, harmonic: 1 })).toBe(1);
  expect(clippedSineThd({ ratio: 1.5, highestHarmonic: 10 })).toBe(0);
});
