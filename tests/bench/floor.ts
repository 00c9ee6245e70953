import { openSync, readdirSync, readFileSync, readSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { openWav } from '../../src/audio/read-wav.ts';
import { realSpectrum, spectrumInput, transformSizeFor } from '../../src/dsp/fft.ts';
import { doubles, floats } from '../../src/dsp/kernels/kernel-arrays.ts';
import { fullTrack } from '../../src/tones/track.ts';

/**
 * Parts of an analysis that none can do without, for information: every byte of the folder's recordings read; the same read
 * and decoded; and the transforms that are needed, one for each sweep, the quiet tone and the silence of each channel and
 * take, one forward and one back for the search of each file. Prints processor seconds of each and what the process used.
 */
const LEAD_AND_TAIL_SECONDS = 0.45;
const SEARCH_SIZE = 2 ** 17;
const NOISE_SIZE = 2 ** 17;
const BLOCK_FRAMES = 2 ** 17;

const folder = process.argv[2];
const names = readdirSync(folder).filter((file) => /^setting-.*\.wav$/.test(file));
const sounds = names.map((name) => {
  const path = join(folder, name);
  const descriptor = openSync(path, 'r');
  const byteLength = statSync(path).size;
  const read = (offset: number, target: Uint8Array) => readSync(descriptor, target, 0, target.length, offset);
  return { byteLength, read, sound: openWav({ name, byteLength, read }) };
});

const readSeconds = secondsOf(() => {
  const block = new Uint8Array(1 << 18);
  for (const { byteLength, read } of sounds)
    for (let at = 0; at < byteLength; at += block.length) read(at, block);
});
const readAndDecodeSeconds = secondsOf(() => {
  for (const { sound } of sounds) {
    const into = Array.from({ length: sound.channelCount }, () => floats(BLOCK_FRAMES));
    for (let start = 0; start < sound.length; start += BLOCK_FRAMES)
      sound.readSection({ start, count: BLOCK_FRAMES, into });
  }
});
const targets = new Map<number, Float64Array>();
let transforms = 0;
const transformSeconds = secondsOf(() => {
  for (const { sound } of sounds) {
    const sizes = fullTrack.sections.flatMap((section) =>
      section.kind === 'sweep'
        ? [
            transformSizeFor(
              Math.round((section.durationSeconds + LEAD_AND_TAIL_SECONDS) * sound.sampleRateHz),
            ),
          ]
        : section.id === 'quiet tone' || section.kind === 'silence'
          ? [NOISE_SIZE]
          : [],
    );
    const all = [SEARCH_SIZE, SEARCH_SIZE, ...Array.from({ length: sound.channelCount }, () => sizes).flat()];
    for (const size of all) realSpectrum(spectrumInput(size).subarray(0, size), size, targetFor(size));
    transforms += all.length;
  }
});
const own = /^VmHWM:\s+(\d+) kB/m.exec(readFileSync('/proc/self/status', 'utf8'));
const { user, system } = process.cpuUsage();
console.log(
  JSON.stringify({
    readSeconds,
    decodeSeconds: readAndDecodeSeconds - readSeconds,
    transformSeconds,
    transforms,
    wallSeconds: performance.now() / 1000,
    cpuSeconds: (user + system) / 1e6,
    peakMegabytes: Number(own![1]) / 1024,
  }),
);

function targetFor(size: number): Float64Array {
  targets.set(size, targets.get(size) ?? doubles(size + 2));
  return targets.get(size)!;
}

function secondsOf(work: () => void): number {
  const before = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6;
}
