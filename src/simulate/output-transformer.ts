/** Flux below this frequency leaks away: the winding's own resistance. */
const LEAK_HZ = 1;
const FULL_AT_HZ = 20;

/**
 * An output transformer, in place: what it passes is the change of a flux that saturates, v / (1 + (flux / full)^4) (a model of
 * our own with the known signature: odd harmonics that grow as the tone goes down in frequency).
 *
 * @param voltsAt20Hz RMS of a 20 Hz sine whose flux just reaches the full one
 */
export function saturateInPlace(
  volts: Float64Array,
  { voltsAt20Hz, sampleRateHz }: { voltsAt20Hz: number; sampleRateHz: number },
): void {
  const full = (Math.SQRT2 * voltsAt20Hz) / (2 * Math.PI * FULL_AT_HZ);
  const leak = 1 - (2 * Math.PI * LEAK_HZ) / sampleRateHz;
  let flux = 0;
  for (let n = 0; n < volts.length; n++) {
    const half = volts[n] / (2 * sampleRateHz);
    const middle = flux * leak + half;
    flux = middle + half;
    volts[n] *= passed(middle / full);
  }
}

/** Peak volts of a sine of which so much distortion is made, harmonics to the tenth, by the closed form above. */
export function transformerOnsetVoltsPeak(of: {
  voltsAt20Hz: number;
  toneHz: number;
  distortion: number;
}): number {
  const { voltsAt20Hz, toneHz, distortion } = of;
  let [low, high] = [0, 4];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (distortionAt(middle) > distortion) high = middle;
    else low = middle;
  }
  const leaked = Math.hypot(1, LEAK_HZ / toneHz);
  return high * leaked * Math.SQRT2 * voltsAt20Hz * (toneHz / FULL_AT_HZ);
}

/** As distortion is counted, from 512 points of a period. */
const HIGHEST_HARMONIC = 10;
const POINTS = 512;

/** THD of a sine whose flux peaks at this part of the full one. */
function distortionAt(part: number): number {
  const amplitude = (harmonic: number) => {
    let sum = 0;
    for (let n = 0; n < POINTS; n++) {
      const angle = (2 * Math.PI * n) / POINTS;
      sum += Math.cos(angle) * passed(part * Math.sin(angle)) * Math.cos(harmonic * angle);
    }
    return Math.abs(sum);
  };
  const harmonics = Array.from({ length: HIGHEST_HARMONIC - 1 }, (_, k) => amplitude(k + 2));
  return Math.hypot(...harmonics) / amplitude(1);
}

function passed(part: number): number {
  return 1 / (1 + part ** 4);
}
