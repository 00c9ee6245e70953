import { describe, expect, it } from 'vitest';
import { groupDelaySeconds } from '../../../src/measure/sweeps/group-delay.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';

/** A pure delay: its group delay is itself at every frequency (closed form). */
function delayed(seconds: number, fromHz: number) {
  return {
    real: gridFrequencyHz.map((hz) => Math.cos(2 * Math.PI * hz * seconds)),
    imag: gridFrequencyHz.map((hz) => -Math.sin(2 * Math.PI * hz * seconds)),
    sigma: new Float64Array(gridFrequencyHz.length),
    trustedHz: [fromHz, 19_000] as const,
  };
}

describe('group delay of a tap', () => {
  it.each([0, 0.002, -0.0064, 0.02, -0.02])(
    'of %d s is read at every ladder tone, also where a step of the grid is more than a turn',
    (seconds) => {
      for (const hz of [55, 997, 6007, 18_021])
        expect(groupDelaySeconds([delayed(seconds, 20)], hz), `${hz} Hz`).toBeCloseTo(seconds, 6);
    },
  );

  // Low-pass of order 1: its phase is -atan(f / fc), its group delay 1 / (2 pi fc (1 + (f / fc)^2)).
  it('of a filter is that of its place, not of what lies below or above', () => {
    const cornerHz = 1000;
    const size = (hz: number) => 1 + (hz / cornerHz) ** 2;
    const lowPass = {
      ...delayed(0, 20),
      real: gridFrequencyHz.map((hz) => 1 / size(hz)),
      imag: gridFrequencyHz.map((hz) => -hz / cornerHz / size(hz)),
    };
    for (const hz of [55, 300, 997, 3000, 6007]) {
      const expected = 1 / (2 * Math.PI * cornerHz * size(hz));
      expect(groupDelaySeconds([lowPass], hz) / expected, `${hz} Hz`).toBeCloseTo(1, 1);
    }
    // Of a sum it is that of the sum: two alike and one that cancels itself.
    const minus = { ...lowPass, real: lowPass.real.map((re) => -re), imag: lowPass.imag.map((im) => -im) };
    expect(groupDelaySeconds([lowPass, minus, delayed(0.003, 20)], 997)).toBeCloseTo(0.003, 6);
  });

  it('is read on a tweeter’s tap too', () => {
    expect(groupDelaySeconds([delayed(-0.004, 2000)], 6007)).toBeCloseTo(-0.004, 6);
  });
});
