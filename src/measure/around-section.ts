import type { Sound } from '../audio/sound.ts';
import type { Take } from '../takes/find-takes.ts';
import type { Section } from '../tones/track.ts';
import { inParts, readShared } from './sweeps/section-memory.ts';
import { takeStartFrame } from './sweeps/section-response.ts';

/** A section is read with this much around it: taps are late by a few milliseconds, clocks by less. */
export const MARGIN_SECONDS = 0.15;

/** Does work with every channel of a section and what is around it; no more than can be held is read at a time. */
export function eachAround(
  of: { sound: Sound; take: Take; section: Section; clockPpm: number },
  channels: readonly number[],
  work: (read: { samples: Float32Array[]; startFrame: number }, channel: number, i: number) => void,
): void {
  const { sound, section } = of;
  const startFrame = Math.round((sectionStartSeconds(of, section) - MARGIN_SECONDS) * sound.sampleRateHz);
  const count = Math.ceil(
    (section.durationSeconds * (1 + of.clockPpm * 1e-6) + 2 * MARGIN_SECONDS) * sound.sampleRateHz,
  );
  for (const part of inParts(channels, count)) {
    const wanted = part.map((i) => channels[i]);
    const samples = readShared(sound, { place: 'first', start: startFrame, count, channels: wanted });
    for (const i of part) work({ samples, startFrame }, channels[i], i);
  }
}

/** Start of a section in the recording, by the recorder's clock. */
export function sectionStartSeconds(
  of: { sound: Sound; take: Take; clockPpm: number },
  section: Section,
): number {
  return (
    takeStartFrame(of.take, of.sound.sampleRateHz) / of.sound.sampleRateHz +
    section.startSeconds * (1 + of.clockPpm * 1e-6)
  );
}
