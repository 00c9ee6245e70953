import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { curveTables } from '../../src/curves/curve-tables.ts';
import type { Random } from '../../src/dsp/random.ts';
import { equipmentSchema } from '../../src/model/equipment.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { readResultsText, resultsText } from '../../src/model/results-file.ts';
import { planAgain } from '../../src/recommend/plan-again.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { fmt, riff, sourceOf } from '../audio/wav-bytes.ts';
import { TIMEOUT, tryOut } from './try-out.ts';

const hash = { sha256Hex: (text: string) => createHash('sha256').update(text).digest('hex') };
/** A case takes a second: the first of them were seen to be used. */
const FEWEST = 5;
/** Of 64-bit numbers as of a file: what a recorder or an editor may leave in one. */
type Spoil = (channels: Float64Array[]) => void;

const { session: input, ...simulation } = simulate(exampleScenario('shelf loss', { settings: [12, 26] }));
const recordings = [...simulation.recordings()];

/** The whole way: file, analysis, results as text, read again, tables, another plan. */
function goesThrough(spoil: Spoil): void {
  const files = new Map(
    recordings.map(({ file, sampleRateHz, channels }, i) => {
      const spoilt = channels.map((channel) => Float64Array.from(channel));
      if (i === 1) spoil(spoilt);
      return [file, float64Wav(spoilt, sampleRateHz)];
    }),
  );
  const session = resolveSession(input, { folderFiles: [...files.keys()] });
  const results = analyse({
    session,
    open: (file) => openWav({ ...sourceOf(files.get(file)!), name: file }),
    toolVersion: 'test',
    inputs: [],
  });
  const text = resultsText(results, hash);
  const read = readResultsText({ text, where: 'results.json' }, hash);
  for (const { pieces } of curveTables(read))
    for (const piece of pieces) expect(piece).not.toMatch(/NaN|Infinity/);
  resultsText(planAgain(read, equipmentSchema.parse({})).results, hash);
}

// Each takes seconds: by `npm run fuzz` only; tests/faults/digital-zero.test.ts holds the kinds of them in every run.
const isLong = process.env.STEPTONE_FUZZ_SECONDS !== undefined;

it.runIf(isLong).each<[string, Spoil]>([
  ['zeros from beginning to end', each((channel) => channel.fill(0))],
  ['one channel of zeros', ([left]) => void left.fill(0)],
  ['zeros behind the sweeps', each((channel) => channel.fill(0, 20 * 48_000))],
  ['zeros wherever it is quiet', gated(0.02)],
  ['8 bits', rounded(2 ** -7)],
  ['4 bits', rounded(2 ** -3)],
  ['a number beyond those of 32 bits', ([left]) => void left.fill(1e300, 900_000, 900_001)],
  ['all below those of 32 bits', scaled(1e-60)],
  ['next to nothing', scaled(1e-30)],
  ['no numbers', each((channel) => channel.fill(Number.NaN))],
  ['the largest of 32 bits', ([left]) => void left.fill(3.4e38, 200_000, 200_100)],
])(
  '%s: no number that is none gets into results that their own reader refuses',
  { timeout: TIMEOUT },
  (_, spoil) => {
    goesThrough(spoil);
  },
);

it.runIf(isLong)(
  'Samples spoilt at random: analysed or refused, never a fault.',
  { timeout: TIMEOUT },
  () => {
    const outcomes = tryOut(
      'samples',
      (random) => goesThrough((channels) => spoilAtRandom(channels, random)),
      FEWEST,
    );
    expect([...outcomes.keys()]).toContain('used');
  },
);

function spoilAtRandom(channels: Float64Array[], { uniform }: Random): void {
  for (let times = 1 + Math.floor(uniform() * 3); times > 0; times--) {
    const channel = channels[Math.floor(uniform() * channels.length)];
    const from = Math.floor(uniform() * channel.length);
    const to = Math.min(channel.length, from + Math.floor(10 ** (6.5 * uniform())));
    const kind = Math.floor(uniform() * 8);
    if (kind === 0) channel.fill(0, from, to);
    else if (kind === 1)
      channel.fill([1, -1, 1e300, Number.NaN, Number.NEGATIVE_INFINITY][Math.floor(uniform() * 5)], from, to);
    else if (kind === 2) channel.copyWithin(from, Math.floor(uniform() * channel.length), to);
    else if (kind === 3) for (let i = from; i < to; i++) channel[i] *= -1;
    else if (kind === 4) for (let i = from; i < to; i++) channel[i] *= 10 ** (8 * uniform() - 4);
    else if (kind === 5) for (let i = from; i < to; i++) channel[i] = uniform() - 0.5;
    else if (kind === 6) rounded(2 ** -Math.ceil(8 * uniform()))([channel.subarray(from, to)]);
    else channel.set(channel.slice(from, to).reverse(), from);
  }
}

function gated(threshold: number): Spoil {
  return (channels) => {
    for (const channel of channels)
      for (let i = 0; i < channel.length; i++) if (Math.abs(channel[i]) < threshold) channel[i] = 0;
  };
}

function rounded(step: number): Spoil {
  return (channels) => {
    for (const channel of channels)
      for (let i = 0; i < channel.length; i++) channel[i] = Math.round(channel[i] / step) * step;
  };
}

function scaled(gain: number): Spoil {
  return (channels) => {
    for (const channel of channels) for (let i = 0; i < channel.length; i++) channel[i] *= gain;
  };
}

function each(work: (channel: Float64Array) => unknown): Spoil {
  return (channels) => {
    for (const channel of channels) work(channel);
  };
}

const HEADER_BYTES = 44;

function float64Wav(channels: readonly Float64Array[], sampleRateHz: number): Uint8Array {
  const frameBytes = 8 * channels.length;
  const dataBytes = frameBytes * channels[0].length;
  const bytes = new Uint8Array(HEADER_BYTES + dataBytes);
  const format = fmt({ tag: 3, channels: channels.length, rateHz: sampleRateHz, bits: 64 });
  bytes.set(riff([format], { statedBytes: dataBytes + HEADER_BYTES - 8 }));
  bytes.set(new TextEncoder().encode('data'), HEADER_BYTES - 8);
  const view = new DataView(bytes.buffer);
  view.setUint32(HEADER_BYTES - 4, dataBytes, true);
  channels.forEach((channel, c) => {
    for (let i = 0; i < channel.length; i++)
      view.setFloat64(HEADER_BYTES + i * frameBytes + 8 * c, channel[i], true);
  });
  return bytes;
}
