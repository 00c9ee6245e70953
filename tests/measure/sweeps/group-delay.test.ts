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

  it('is read on a tweeter’s tap too', () => {
    expect(groupDelaySeconds([delayed(-0.004, 2000)], 6007)).toBeCloseTo(-0.004, 6);
  });
});
