import type { Sound } from '../audio/sound.ts';
import { floats, reserveKernelMemory, reused, whenReleased } from '../dsp/kernels/kernel-arrays.ts';
import type { Take } from '../takes/take.ts';
import type { Section } from '../tones/track.ts';

/** One take of a recording, the channels of it that are measured, and the recorder's clock as far as it is known. */
export interface TakeReader {
  readonly take: Take;
  readonly sampleRateHz: number;
  /** Of the recording, frames. */
  readonly length: number;
  readonly fullScaleStep: number;
  /** Channels of the recording, counted from 0; everything read or measured comes in this order. */
  readonly channels: readonly number[];
  /** Start of the take in whole samples: sections start on whole samples of every usual rate, so no shift is left over. */
  readonly startFrame: number;
  /** The recorder's clock against the track's; 0 as long as it is not known. */
  readonly clockPpm: number;
  withClock(clockPpm: number): TakeReader;
  /** Start of a section in the recording, by the recorder's clock. */
  startSecondsOf(section: Section): number;
  /**
   * Samples of every channel asked for, which nobody may change. They stay until another section has been read that is longer
   * than LONG_SECONDS, as they are, or two others that are not, by whomever.
   *
   * @param window frames of the recording; what lies outside of it is zero
   */
  read(window: Window): Float32Array[];
  /** Places in `channels`, in parts whose sections of `count` samples can be held at a time. */
  parts(count: number): number[][];
  /** The same take with some of the channels, by their places. */
  only(places: readonly number[]): TakeReader;
  /** The same of one channel, by its place in `channels`. */
  readOne(i: number, window: Window): Float32Array;
}

interface Window {
  readonly start: number;
  readonly count: number;
}

export function takeReader(of: {
  sound: Sound;
  take: Take;
  channels: readonly number[];
  /** Channels that room is claimed for. */
  roomFor?: number;
  clockPpm?: number;
}): TakeReader {
  const { sound, take, channels, roomFor = channels.length, clockPpm = 0 } = of;
  const { sampleRateHz, length, fullScaleStep } = sound;
  const startFrame = Math.round(take.startSeconds * sampleRateHz);
  return {
    take,
    sampleRateHz,
    length,
    fullScaleStep,
    channels,
    startFrame,
    clockPpm,
    withClock: (ppm) => takeReader({ ...of, clockPpm: ppm }),
    startSecondsOf: ({ startSeconds }) => startFrame / sampleRateHz + startSeconds * (1 + clockPpm * 1e-6),
    read(window) {
      const samples = readShared(sound, window, { channels, roomFor });
      return channels.map((channel) => samples.get(channel)!);
    },
    parts(count) {
      const places = channels.map((_, i) => i);
      const most = mostHeld(count);
      return Array.from({ length: Math.ceil(places.length / most) }, (_, part) =>
        places.slice(part * most, (part + 1) * most),
      );
    },
    only: (places) => takeReader({ ...of, roomFor, channels: places.map((i) => channels[i]) }),
    readOne: (i, window) => readShared(sound, window, { channels: [channels[i]], roomFor }).get(channels[i])!,
  };
}

/** What measuring takes a hertz of the sample rate, and more for each channel (48 kHz and 8 channels: 66 MB), with room to spare. */
const BYTES_PER_HERTZ = 1100;
const CHANNEL_BYTES_PER_HERTZ = 70;
/** So much of a section is held: four channels of a long one at 192 kHz, 17 at 48 kHz. */
const MOST_BYTES = 24e6;
const MOST_SAMPLES = MOST_BYTES / Float32Array.BYTES_PER_ELEMENT;
const SLOTS = 3;

/** Claims memory for a recording before its first take is read: enlarged later, it would leave behind what was made. */
export function reserveFor({ sampleRateHz }: Sound, channels: readonly number[]): void {
  const held = Math.min(SLOTS * MOST_BYTES, sampleRateHz * CHANNEL_BYTES_PER_HERTZ * channels.length);
  reserveKernelMemory(sampleRateHz * BYTES_PER_HERTZ + held);
}

function mostHeld(count: number): number {
  return Math.max(1, Math.floor(MOST_SAMPLES / count));
}

/** A section in memory: fresh megabytes cost more than reading and decoding into them. */
interface Slot {
  held: { readonly sound: Sound; readonly window: Window } | null;
  /** By channel. */
  readonly samples: Map<number, Float32Array>;
  /** Where they all lie, one behind the other, and what it was when they were read. */
  readonly memory: (count: number) => Float32Array;
  claimed: Float32Array | null;
  /** Claimed at once, so that nothing has to be enlarged from section to section. */
  readonly roomSeconds: number;
}

/** Between the closing sweeps of 1.5 s and the others of 5 and 6 s; none with lead and tail is longer than seven. */
const LONG_SECONDS = 4;
const LONGEST_SECONDS = 7;
const NOT_READ = new Float32Array(0);

const long = emptySlot(LONGEST_SECONDS);
/** The one that was asked for last comes last. */
let short: readonly [Slot, Slot] = [emptySlot(LONG_SECONDS), emptySlot(LONG_SECONDS)];

function emptySlot(roomSeconds: number): Slot {
  const slot: Slot = { held: null, samples: new Map(), memory: reused(floats), claimed: null, roomSeconds };
  whenReleased(() => clear(slot));
  return slot;
}

function clear(slot: Slot): void {
  slot.held = null;
  slot.claimed = null;
  slot.samples.clear();
}

/** Reads those of the channels that are not held already. */
function readShared(
  sound: Sound,
  window: Window,
  { channels, roomFor }: { channels: readonly number[]; roomFor: number },
): ReadonlyMap<number, Float32Array> {
  const slot = slotFor(sound, window);
  const most = mostHeld(window.count);
  if (new Set([...slot.samples.keys(), ...channels]).size > most) slot.samples.clear();
  if (channels.every((channel) => slot.samples.has(channel))) return slot.samples;
  const apart = LINE_SAMPLES * (Math.ceil(window.count / LINE_SAMPLES) + 1);
  const room = Math.min(MOST_SAMPLES, roomFor * Math.round(slot.roomSeconds * sound.sampleRateHz));
  const places = Math.max(channels.length, Math.min(roomFor, most));
  const memory = slot.memory(Math.max(room, places * apart));
  if (slot.claimed?.buffer !== memory.buffer || slot.claimed.byteOffset !== memory.byteOffset)
    slot.samples.clear();
  slot.claimed = memory;
  const missing = channels.filter((channel) => !slot.samples.has(channel));
  const held = slot.samples.size;
  const into = Array.from({ length: sound.channelCount }, (_, channel) => {
    const place = (held + missing.indexOf(channel)) * apart;
    return missing.includes(channel) ? memory.subarray(place, place + window.count) : NOT_READ;
  });
  const read = sound.readSection({ ...window, channels: missing, into });
  for (const channel of missing) slot.samples.set(channel, read[channel]);
  return slot.samples;
}

/** Channels begin on a line of the processor's cache, and a line apart, so that they do not crowd one place in it. */
const LINE_SAMPLES = 16;

function slotFor(sound: Sound, window: Window): Slot {
  const isHeld = ({ held }: Slot) =>
    held?.sound === sound && held.window.start === window.start && held.window.count === window.count;
  const [older, last] = short;
  const isLong = window.count > LONG_SECONDS * sound.sampleRateHz;
  const slot = isLong ? long : isHeld(last) ? last : older;
  if (!isLong) short = slot === last ? [older, last] : [last, older];
  if (!isHeld(slot)) {
    clear(slot);
    slot.held = { sound, window };
  }
  return slot;
}
