import { openSync, readdirSync, readSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { openWav } from '../../src/audio/read-wav.ts';
import { realSpectrum, transformSizeFor } from '../../src/dsp/fft.ts';
import { fullTrack } from '../../src/tones/track.ts';

/**
 * The floor that an analysis cannot go below: every byte of the folder's recordings read and decoded once, and the transforms
 * that are needed: for each channel of each take one a sweep and one each for the quiet tone and the silence, and for each
 * file one forward and one back at the rate of the search, on one channel. No way back is counted for sweeps, and none is
 * needed: what a window in time would part, harmonics and late noise, a kernel along frequency parts in the same spectrum
 * (`smoothing-kernel.ts`), and distortion comes from the ladders. Not counted although needed: those fits, all sums along
 * spectra, fingerprints, findings and the report. Prints the number of transforms and what the process used.
 */
const LEAD_AND_TAIL_SECONDS = 0.45;
const SEARCH_SIZE = 2 ** 17;
const NOISE_SIZE = 2 ** 17;
const BLOCK_FRAMES = 2 ** 17;

const folder = process.argv[2];
const started = { wall: performance.now(), cpu: process.cpuUsage() };
let transforms = 0;
for (const name of readdirSync(folder).filter((file) => /^setting-.*\.wav$/.test(file))) {
  const path = join(folder, name);
  const descriptor = openSync(path, 'r');
  const sound = openWav({
    name,
    byteLength: statSync(path).size,
    read: (offset, target) => readSync(descriptor, target, 0, target.length, offset),
  });
  let last: Float32Array[] | undefined;
  for (let start = 0; start < sound.length; start += BLOCK_FRAMES)
    last = sound.readSection({ start, count: BLOCK_FRAMES, into: last });
  const sizes = fullTrack.sections.flatMap((section) =>
    section.kind === 'sweep'
      ? [transformSizeFor(Math.round((section.durationSeconds + LEAD_AND_TAIL_SECONDS) * sound.sampleRateHz))]
      : section.id === 'quiet tone' || section.kind === 'silence'
        ? [NOISE_SIZE]
        : [],
  );
  const targets = new Map([...sizes, SEARCH_SIZE].map((size) => [size, new Float64Array(size + 2)]));
  const transform = (samples: Float32Array, size: number) => {
    realSpectrum(samples, size, targets.get(size));
    transforms++;
  };
  for (const samples of last ?? []) for (const size of sizes) transform(samples, size);
  transform(last![0], SEARCH_SIZE);
  transform(last![0], SEARCH_SIZE);
}
const { user, system } = process.cpuUsage(started.cpu);
console.log(
  JSON.stringify({
    transforms,
    wallSeconds: (performance.now() - started.wall) / 1000,
    cpuSeconds: (user + system) / 1e6,
    peakMegabytes: process.resourceUsage().maxRSS / 1024,
  }),
);
