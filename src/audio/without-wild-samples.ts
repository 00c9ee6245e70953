import type { Sound } from './sound.ts';

/** No recorder holds more than 12 dB above full scale (common practice: floating-point ones go a few decibels over). */
const WILD = 4;

/** Whether a sample can be no recorded one: not a number, infinite, or far beyond full scale. */
export function isWild(sample: number): boolean {
  return !(Math.abs(sample) <= WILD);
}

/** The same sound with samples that can be none replaced by the last that can: a flipped bit, a bad cell of a card. */
export function withoutWildSamples(sound: Sound): Sound {
  return {
    ...sound,
    readSection(of) {
      const section = sound.readSection(of);
      for (const samples of section) mend(samples);
      return section;
    },
  };
}

function mend(samples: Float32Array): void {
  let last = 0;
  for (let n = 0; n < samples.length; n++) {
    if (isWild(samples[n])) samples[n] = last;
    else last = samples[n];
  }
}

/** Where the first wild sample of a sound lies, and how many there are; null where there are none. */
export function wildSamples(
  sound: Sound,
  channels: readonly number[],
): { count: number; atSeconds: number } | null {
  let count = 0;
  let first: number | null = null;
  for (let start = 0; start < sound.length; start += BLOCK_FRAMES) {
    const block = sound.readSection({
      start,
      count: Math.min(BLOCK_FRAMES, sound.length - start),
      channels,
    });
    for (const channel of channels)
      block[channel].forEach((sample, n) => {
        if (!isWild(sample)) return;
        count++;
        first = Math.min(first ?? Number.POSITIVE_INFINITY, start + n);
      });
  }
  return first === null ? null : { count, atSeconds: first / sound.sampleRateHz };
}

/** Large enough that calls cost nothing (chosen here; speed only). */
const BLOCK_FRAMES = 2 ** 17;
