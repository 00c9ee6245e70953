import { seededRandom } from '../../src/dsp/random.ts';
import { frequencyResponse } from '../../src/measure/sweeps/trusted-band.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { FrequencyResponse } from '../../src/model/response.ts';

/** A response by its formula, with noise of one standard deviation everywhere. */
export function exactResponse(of: {
  at?: (frequencyHz: number) => { real: number; imag: number };
  gain?: number;
  delaySeconds?: number;
  sigma?: number;
  seed?: number;
}): FrequencyResponse {
  const { at = () => ({ real: 1, imag: 0 }), gain = 1, delaySeconds = 0, sigma = 1e-6 } = of;
  const random = seededRandom(of.seed ?? 1);
  const values = Array.from(gridFrequencyHz, (hz) => {
    const { real, imag } = at(hz);
    const angle = -2 * Math.PI * hz * delaySeconds;
    return {
      real: gain * (real * Math.cos(angle) - imag * Math.sin(angle)) + sigma * random.gaussian(),
      imag: gain * (real * Math.sin(angle) + imag * Math.cos(angle)) + sigma * random.gaussian(),
    };
  });
  return frequencyResponse({
    real: Float64Array.from(values, ({ real }) => real),
    imag: Float64Array.from(values, ({ imag }) => imag),
    sigma: new Float64Array(values.length).fill(sigma),
  });
}
