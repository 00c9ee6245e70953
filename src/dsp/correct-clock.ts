import { type Sweep, sweepRateSeconds } from './sweep.ts';
import type { SweepResponse } from './sweep-response.ts';

/** A phase is followed from point to point where it stands this many standard deviations clear. */
const CLEAR_OF_NOISE = 10;

/**
 * Takes the difference of the two clocks out of a response. A recorder that runs fast by `ppm` hears the sweep
 * stretched, which shifts each frequency's arrival by ppm times the time since the track's start; the phase follows from
 * the closed form of the sweep's spectrum, 2 pi f L (1 - ln(f / f1)) (Novak et al., JAES 63(10), 2015). Frequencies are
 * the player's afterwards.
 */
export function correctClock(
  response: SweepResponse,
  clock: { frequencyHz: Float64Array; sweep: Sweep; sectionStartSeconds: number; ppm: number },
): SweepResponse {
  const epsilon = clock.ppm * 1e-6;
  const rate = sweepRateSeconds(clock.sweep);
  const gain = 1 / Math.sqrt(1 + epsilon); // the stretched sweep puts more energy in each hertz
  const real = new Float64Array(response.real.length);
  const imag = new Float64Array(response.real.length);
  for (let i = 0; i < real.length; i++) {
    const hz = clock.frequencyHz[i];
    const dispersion =
      epsilon * Math.log(hz / clock.sweep.startHz) - epsilon + (1 + epsilon) * Math.log1p(epsilon);
    const angle = 2 * Math.PI * hz * (rate * dispersion + epsilon * clock.sectionStartSeconds);
    const cos = gain * Math.cos(angle);
    const sin = gain * Math.sin(angle);
    real[i] = response.real[i] * cos - response.imag[i] * sin;
    imag[i] = response.real[i] * sin + response.imag[i] * cos;
  }
  const corrected = { real, imag, sigma: response.sigma };
  moveAlongFrequency(corrected, { frequencyHz: clock.frequencyHz, by: Math.log1p(epsilon) });
  return corrected;
}

/**
 * What the recorder calls f / (1 + e) is f to the player: moves a response up by `by` in ln f, in place, along the local
 * slope of its logarithm (a few ten-thousandths of the distance between points).
 */
function moveAlongFrequency(response: SweepResponse, of: { frequencyHz: Float64Array; by: number }): void {
  const { real, imag, sigma } = response;
  const { frequencyHz, by } = of;
  let [beforeReal, beforeImag] = [real[0], imag[0]];
  let radiansPerHz = 0;
  for (let i = 1; i < real.length - 1; i++) {
    const [hereReal, hereImag] = [real[i], imag[i]];
    const spacingHz = frequencyHz[i + 1] - frequencyHz[i - 1];
    const along = real[i + 1] * beforeReal + imag[i + 1] * beforeImag;
    const across = imag[i + 1] * beforeReal - real[i + 1] * beforeImag;
    // Late arrivals turn by more than half a turn between points at the top: unwrapped along the way up.
    const expected = radiansPerHz * spacingHz;
    const turns = Math.round((expected - Math.atan2(across, along)) / (2 * Math.PI));
    const turn = Math.atan2(across, along) + 2 * Math.PI * turns;
    if (Math.hypot(hereReal, hereImag) > CLEAR_OF_NOISE * sigma[i]) radiansPerHz = turn / spacingHz;
    const growth =
      0.5 * Math.log((real[i + 1] ** 2 + imag[i + 1] ** 2) / (beforeReal ** 2 + beforeImag ** 2));
    const part = by / Math.log(frequencyHz[i + 1] / frequencyHz[i - 1]);
    const gain = Math.exp(-part * growth);
    const [cos, sin] = [gain * Math.cos(part * turn), -gain * Math.sin(part * turn)];
    real[i] = hereReal * cos - hereImag * sin;
    imag[i] = hereReal * sin + hereImag * cos;
    [beforeReal, beforeImag] = [hereReal, hereImag];
  }
}
