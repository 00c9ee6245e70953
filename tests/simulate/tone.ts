/** Complex amplitude of a tone over whole cycles, by the plain sum of the Fourier series: real part cosine, imaginary minus sine. */
export function toneAmplitude(
  samples: ArrayLike<number>,
  {
    frequencyHz,
    sampleRateHz,
    start,
    cycles,
  }: { frequencyHz: number; sampleRateHz: number; start: number; cycles: number },
): { real: number; imag: number; magnitude: number } {
  const count = Math.round((cycles * sampleRateHz) / frequencyHz);
  let real = 0;
  let imag = 0;
  for (let n = 0; n < count; n++) {
    const angle = (2 * Math.PI * frequencyHz * (start + n)) / sampleRateHz;
    real += samples[start + n] * Math.cos(angle);
    imag -= samples[start + n] * Math.sin(angle);
  }
  return {
    real: (2 * real) / count,
    imag: (2 * imag) / count,
    magnitude: (2 * Math.hypot(real, imag)) / count,
  };
}

/** RMS of harmonics 2 to `highest` over the fundamental. */
export function thdOf(
  samples: ArrayLike<number>,
  {
    highest,
    ...tone
  }: { frequencyHz: number; sampleRateHz: number; start: number; cycles: number; highest: number },
): number {
  let square = 0;
  for (let k = 2; k <= highest; k++) {
    square +=
      toneAmplitude(samples, { ...tone, frequencyHz: tone.frequencyHz * k, cycles: tone.cycles * k })
        .magnitude ** 2;
  }
  return Math.sqrt(square) / toneAmplitude(samples, tone).magnitude;
}

export function sine({
  frequencyHz,
  sampleRateHz,
  amplitude,
  count,
}: {
  frequencyHz: number;
  sampleRateHz: number;
  amplitude: number;
  count: number;
}): Float64Array {
  return Float64Array.from(
    { length: count },
    (_, n) => amplitude * Math.sin((2 * Math.PI * frequencyHz * n) / sampleRateHz),
  );
}

export function rms(samples: ArrayLike<number>, start: number, end: number): number {
  let square = 0;
  for (let n = start; n < end; n++) square += samples[n] ** 2;
  return Math.sqrt(square / (end - start));
}
