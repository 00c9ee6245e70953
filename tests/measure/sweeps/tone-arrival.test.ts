import { describe, expect, test } from 'vitest';
import { evaluateSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { toneArrivalSeconds } from '../../../src/measure/sweeps/tone-arrival.ts';
import { exactResponse } from '../exact-response.ts';

/** So far above the filters that their analogue forms are meant. */
const SAMPLE_RATE_HZ = 1e6;

const FILTERS = [
  { sections: prototypeSections({ family: 'bessel', order: 8, side: 'high-pass' }), cornerHz: 105 },
  { sections: prototypeSections({ family: 'linkwitz-riley', order: 8, side: 'low-pass' }), cornerHz: 621 },
];

function door(delaySeconds: number, sigma?: number) {
  const at = (frequencyHz: number) =>
    FILTERS.map(({ sections, cornerHz }) =>
      evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: SAMPLE_RATE_HZ }),
    ).reduce((one, other) => ({
      real: one.real * other.real - one.imag * other.imag,
      imag: one.real * other.imag + one.imag * other.real,
    }));
  return exactResponse({ at, delaySeconds, ...(sigma === undefined ? {} : { sigma }) });
}

describe('when a tone arrives through a tap’s filters', () => {
  // Group delay by scipy: signal.bessel(8, 2*pi*105, 'high', analog=True, norm='mag') times twice signal.butter(4, 2*pi*621,
  // analog=True): 18.04 ms at 55 Hz, 2.1 ms at 300 Hz, and not below 2.08 ms anywhere between.
  test('a steep high-pass holds 55 Hz for 18 ms, but what its harmonics’ bands let through early counts', () => {
    const seconds = toneArrivalSeconds([door(0.001)], 55);
    expect(seconds).toBeGreaterThan(0.001 + 0.0019);
    expect(seconds).toBeLessThan(0.001 + 0.0024);
  });

  // By scipy (signal.butter(4, 71.25, fs=44100) twice, a 55 Hz sine that stops): the group delay is 16.6 ms, but the output
  // leaves the steady tone by 10^-3 of it 5.04 ms after the stop, and five cycles fitted up to 12 ms after it read 1.2 %.
  test('the end of a tone near a steep low-pass’s corner comes through well before its group delay', () => {
    const LEFT_AT_SECONDS = 0.00504;
    const GUARD_SECONDS = 0.004;
    const subwoofer = exactResponse({
      at: (frequencyHz) =>
        evaluateSections(prototypeSections({ family: 'linkwitz-riley', order: 8, side: 'low-pass' }), {
          frequencyHz,
          cornerHz: 71.25,
          sampleRateHz: SAMPLE_RATE_HZ,
        }),
      delaySeconds: 0.0025,
      sigma: 1e-4,
    });
    const seconds = toneArrivalSeconds([subwoofer], 55);
    expect(seconds - GUARD_SECONDS).toBeLessThan(0.0025 + LEFT_AT_SECONDS);
    expect(seconds).toBeGreaterThan(0.0025);
  });

  // Otherwise its last step ends inside the window: 12 % at 20 dB of signal to noise (a door behind 71 Hz, 48 dB an octave).
  test('a tone that noise hides in the sweep comes with what is heard above it', () => {
    const noisy = door(0.001, 0.03);
    expect(noisy.trustedHz![0]).toBeGreaterThan(60);
    const seconds = toneArrivalSeconds([noisy], 55);
    expect(seconds).toBeGreaterThan(0.001 + 0.0019);
    expect(seconds).toBeLessThan(0.001 + 0.0024);
  });

  test('a tone that the tap does not carry has no arrival of its own', () => {
    expect(toneArrivalSeconds([door(0.001)], 6007)).toBe(0);
  });
});
