import type { Section } from '../tones/track.ts';
import type { TakeReader } from './take-reader.ts';

/** A section is read with this much around it: taps are late by a few milliseconds, clocks by less. */
export const MARGIN_SECONDS = 0.15;

/** Does work with every channel of a section and what is around it; no more than can be held is read at a time. */
export function eachAround(
  reader: TakeReader,
  section: Section,
  work: (read: { samples: Float32Array; startFrame: number }, i: number) => void,
): void {
  const { sampleRateHz, clockPpm } = reader;
  const start = Math.round((reader.startSecondsOf(section) - MARGIN_SECONDS) * sampleRateHz);
  const seconds = section.durationSeconds * (1 + clockPpm * 1e-6) + 2 * MARGIN_SECONDS;
  const window = { start, count: Math.ceil(seconds * sampleRateHz) };
  for (const places of reader.parts(window.count)) {
    const samples = reader.only(places).read(window);
    for (const [n, i] of places.entries()) work({ samples: samples[n], startFrame: start }, i);
  }
}
