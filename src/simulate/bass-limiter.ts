import { filterInPlace, toBiquads } from '../dsp/biquad.ts';
import { evaluateSections, prototypeSections } from '../dsp/filter-prototype.ts';

/** Times and band of a limiter; `threshold` is the peak that the bass may reach, in the unit of the samples. */
interface BassLimiter {
  readonly belowHz: number;
  readonly threshold: number;
  readonly attackSeconds: number;
  readonly releaseSeconds: number;
  readonly holdSeconds: number;
}

const BASS_BAND = prototypeSections({ family: 'butterworth', order: 2, side: 'low-pass' });
/** The gain is worked out for a thousandth of a second at a time, and moves in straight lines between. */
const STEP_SECONDS = 0.001;

/**
 * Turns the band below `belowHz` down, in place, so that its peaks stay at the threshold: output = input + (g - 1) bass,
 * g = threshold / peak where the peak is above it. The rest of the band passes at its full level.
 */
export function limitBassInPlace(samples: Float64Array, limiter: BassLimiter, sampleRateHz: number): void {
  const bass = samples.slice();
  filterInPlace(bass, toBiquads(BASS_BAND, { cornerHz: limiter.belowHz, sampleRateHz }));
  const stepLength = Math.round(STEP_SECONDS * sampleRateHz);
  const gains = gainsOf(peaksOf(bass, stepLength), limiter);
  let gain = 1;
  for (let step = 0; step < gains.length; step++) {
    const slope = (gains[step] - gain) / stepLength;
    const start = step * stepLength;
    const end = Math.min(samples.length, start + stepLength);
    if (gain === 1 && slope === 0) continue;
    for (let n = start; n < end; n++) {
      gain += slope;
      samples[n] += (gain - 1) * bass[n];
    }
    gain = gains[step];
  }
}

/**
 * What the limiter does to a steady sine, as a complex factor: 1 + (g - 1) L(f), L being the bass band's low-pass.
 *
 * @param level peak of the sine at the limiter's input, in the threshold's unit
 */
export function limiterResponse(
  { belowHz, threshold }: Pick<BassLimiter, 'belowHz' | 'threshold'>,
  { frequencyHz, level, sampleRateHz }: { frequencyHz: number; level: number; sampleRateHz: number },
): { real: number; imag: number } {
  const band = evaluateSections(BASS_BAND, { frequencyHz, cornerHz: belowHz, sampleRateHz });
  const gain = Math.min(1, threshold / (level * Math.hypot(band.real, band.imag)));
  return { real: 1 + (gain - 1) * band.real, imag: (gain - 1) * band.imag };
}

function peaksOf(bass: Float64Array, stepLength: number): Float64Array {
  const peaks = new Float64Array(Math.ceil(bass.length / stepLength));
  for (let n = 0; n < bass.length; n++) {
    const step = Math.floor(n / stepLength);
    peaks[step] = Math.max(peaks[step], Math.abs(bass[n]));
  }
  return peaks;
}

/** The highest peak of the last `holdSeconds`, smoothed by attack and release, against the threshold. */
function gainsOf(
  peaks: Float64Array,
  { threshold, attackSeconds, releaseSeconds, holdSeconds }: BassLimiter,
): Float64Array {
  const held = Math.max(1, Math.round(holdSeconds / STEP_SECONDS));
  const attack = 1 - Math.exp(-STEP_SECONDS / attackSeconds);
  const release = 1 - Math.exp(-STEP_SECONDS / releaseSeconds);
  let envelope = 0;
  return peaks.map((_, step) => {
    let peak = 0;
    for (let past = Math.max(0, step - held + 1); past <= step; past++) peak = Math.max(peak, peaks[past]);
    envelope += (peak - envelope) * (peak > envelope ? attack : release);
    return envelope > threshold ? threshold / envelope : 1;
  });
}
