import { modulus } from '../../dsp/modulus.ts';
import { mean } from '../../dsp/statistics.ts';
import { gridPoints, MIDDLE_HZ } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import { frequencyResponse } from '../sweeps/trusted-band.ts';

/** Where the recorder itself passes this little, dividing by it would only raise noise, and dividing by more would leave a fall that is not the radio's. */
const LEAST_GAIN = 0.1;

/**
 * Shape of the recorder (and player) itself from a loop take: the stronger programme, level taken out. Its arrival stays
 * in, the same for all channels of the file, so that differences between channels are divided out too.
 */
export function recorderResponse(loop: {
  left: FrequencyResponse;
  right: FrequencyResponse;
}): FrequencyResponse | null {
  const [left, right] = [midLevel(loop.left), midLevel(loop.right)];
  const level = Math.max(left, right);
  if (!(level > 0)) return null;
  const stronger = left >= right ? loop.left : loop.right;
  return {
    ...stronger,
    real: stronger.real.map((value) => value / level),
    imag: stronger.imag.map((value) => value / level),
    sigma: stronger.sigma.map((value) => value / level),
  };
}

/** Divides the recorder out of a response; noise of both is carried along. What the recorder hardly passes is not known. */
export function withoutRecorder(
  response: FrequencyResponse,
  recorder: FrequencyResponse | null,
): FrequencyResponse {
  if (recorder === null) return response;
  const real = new Float64Array(response.real.length);
  const imag = new Float64Array(response.real.length);
  const sigma = new Float64Array(response.real.length);
  for (let i = 0; i < real.length; i++) {
    const passed = recorder.real[i] ** 2 + recorder.imag[i] ** 2;
    const power = Math.max(LEAST_GAIN ** 2, passed);
    real[i] = (response.real[i] * recorder.real[i] + response.imag[i] * recorder.imag[i]) / power;
    imag[i] = (response.imag[i] * recorder.real[i] - response.real[i] * recorder.imag[i]) / power;
    const carried = modulus(real[i], imag[i]) * recorder.sigma[i];
    const noise = modulus(response.sigma[i], carried) / Math.sqrt(power);
    sigma[i] = passed < power ? Math.max(noise, modulus(real[i], imag[i])) : noise;
  }
  return frequencyResponse({ real, imag, sigma });
}

/** The recorder's own level; its volts are the calibration's business. */
function midLevel({ real, imag }: FrequencyResponse): number {
  return mean(gridPoints(MIDDLE_HZ).map((i) => modulus(real[i], imag[i])));
}
