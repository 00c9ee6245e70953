import { bytes, reused } from '../dsp/kernels/kernel-arrays.ts';
import { SteptoneError } from '../model/errors.ts';
import type { ByteSource } from './byte-source.ts';
import { decoderFor } from './decode-samples.ts';
import type { Sound } from './sound.ts';
import { findWavChunks } from './wav-chunks.ts';
import { parseWavFormat, type WavFormat } from './wav-format.ts';
import { locateSamples } from './wav-samples.ts';

/** The track reaches 20 kHz, which 44.1 kHz carries; above 192 kHz nothing is gained (the tool's own limits). */
const LOWEST_RATE_HZ = 44_100;
const HIGHEST_RATE_HZ = 192_000;

/** Bytes held at a time while a section is decoded: fits the processor's caches, whatever the length of the file. */
const BLOCK_BYTES = 1 << 18;

/**
 * Opens a WAV recording without reading its samples.
 *
 * Reads RIFF, RF64 and BW64 with PCM of 8 to 32 bits or 32/64-bit floating point, plain or extensible, any number of
 * channels, 44.1 to 192 kHz. A file cut off by a recorder that lost power is used as far as it goes, with a note.
 * Integers are divided by 2^(bits-1), positive and negative alike; floating-point samples that are not numbers read as 0.
 *
 * Sources: Multimedia Programming Interface and Data Specifications 1.0 (IBM, Microsoft, 1991); EBU Tech 3306 (RF64);
 * ITU-R BS.2088 (BW64).
 *
 * @throws SteptoneError 'not-wav', 'wav-unsupported' (another coding inside), 'wav-damaged', 'sample-rate'
 */
export function openWav(source: ByteSource): Sound {
  const chunks = findWavChunks(source);
  const format = parseWavFormat({ fmt: chunks.fmt, where: source.name });
  checkSampleRate(format, source.name);
  const { offset, length, notes } = locateSamples({ source, chunks, format });

  const decode = decoderFor(format);
  const framesPerBlock = Math.max(1, Math.floor(BLOCK_BYTES / format.blockBytes));
  const allChannels = Array.from({ length: format.channelCount }, (_, i) => i);

  return {
    name: source.name,
    sampleRateHz: format.sampleRateHz,
    channelCount: format.channelCount,
    length,
    notes,
    fullScaleStep: format.fullScaleStep,
    readSection({ start, count, into, channels: wanted = allChannels }) {
      const channels = into ?? allChannels.map((i) => new Float32Array(wanted.includes(i) ? count : 0));
      if (start < 0 || start + count > length) for (const channel of into ?? []) channel.fill(0);
      const end = Math.min(length, start + count);
      for (let frame = Math.max(0, start); frame < end; frame += framesPerBlock) {
        const frames = Math.min(framesPerBlock, end - frame);
        const block = blockWork(frames * format.blockBytes);
        const got = source.read(offset + frame * format.blockBytes, block);
        decode({
          bytes: block,
          frames: Math.floor(got / format.blockBytes),
          channels,
          wanted,
          at: frame - start,
        });
      }
      return channels;
    },
  };
}

const blockWork = reused(bytes);

function checkSampleRate({ sampleRateHz }: WavFormat, where: string): void {
  if (sampleRateHz >= LOWEST_RATE_HZ && sampleRateHz <= HIGHEST_RATE_HZ) return;
  throw new SteptoneError({
    code: 'sample-rate',
    expected: 'a sample rate from 44.1 to 192 kHz',
    found: `${sampleRateHz / 1000} kHz`,
    where,
    likelyCause:
      sampleRateHz < LOWEST_RATE_HZ
        ? 'the recorder is in a speech or long-play mode'
        : 'the recorder is at a rate for measuring, not for sound',
    nextStep: 'set the recorder to 48 or 96 kHz and record again',
  });
}
