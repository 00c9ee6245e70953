import { SteptoneError } from '../model/errors.ts';

/** How the samples of a WAV file are stored. */
export interface WavFormat {
  readonly coding: 'integer' | 'float';
  readonly bytesPerSample: number;
  readonly channelCount: number;
  readonly sampleRateHz: number;
  /** One frame: a sample of every channel. */
  readonly blockBytes: number;
  readonly fullScaleStep: number;
}

/** Format tags of WAV (RFC 2361; the extensible one of the multimedia headers). */
const PCM = 0x0001;
const IEEE_FLOAT = 0x0003;
const EXTENSIBLE = 0xfffe;

/** What else recorders and phones put into WAV files (format tags of the Windows header mmreg.h). */
const OTHER_CODINGS: Readonly<Record<number, string>> = {
  2: 'Microsoft ADPCM',
  6: 'A-law (telephone quality)',
  7: 'mu-law (telephone quality)',
  17: 'IMA ADPCM',
  80: 'MPEG audio',
  85: 'MP3',
  353: 'Windows Media Audio',
  5632: 'AAC',
  8192: 'AC-3',
  61868: 'FLAC',
};

/** Sub-formats of an extensible file are a tag followed by these bytes (KSDATAFORMAT_SUBTYPE of the Windows headers). */
const SUBFORMAT_TAIL = [0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xaa, 0x00, 0x38, 0x9b, 0x71];

/** More than any recorder has; a damaged header that says 30 000 must not claim the memory for them. */
const MOST_CHANNELS = 256;

/** No converter resolves more: one of 24 bits behind a 32-bit or float file clips this far below 1. */
const FINEST_STEP = 2 ** -23;

/**
 * Reads the format chunk.
 *
 * @throws SteptoneError 'wav-unsupported' for other codings, 'wav-damaged' where the numbers contradict each other
 */
export function parseWavFormat({ fmt, where }: { fmt: DataView; where: string }): WavFormat {
  if (fmt.byteLength < 16) throw damaged(where, `one of ${fmt.byteLength} bytes`);
  const tag = codingTag(fmt, where);
  const channelCount = fmt.getUint16(2, true);
  const sampleRateHz = fmt.getUint32(4, true);
  const blockBytes = fmt.getUint16(12, true);
  const bits = fmt.getUint16(14, true);

  if (tag !== PCM && tag !== IEEE_FLOAT) {
    throw unsupported(where, OTHER_CODINGS[tag] ?? `coding number ${tag}`);
  }
  if (channelCount === 0 || channelCount > MOST_CHANNELS) throw damaged(where, `${channelCount} channels`);
  const bytesPerSample = blockBytes / channelCount;
  const story = `${channelCount} channels of ${bits} bits in frames of ${blockBytes} bytes`;
  if (!Number.isInteger(bytesPerSample) || bits === 0 || bits > bytesPerSample * 8)
    throw damaged(where, story);
  const known =
    tag === PCM ? bytesPerSample >= 1 && bytesPerSample <= 4 : bits === bytesPerSample * 8 && bits % 32 === 0;
  if (!known || bytesPerSample > 8)
    throw unsupported(where, `${tag === PCM ? 'PCM' : 'floating point'}, ${story}`);

  return {
    coding: tag === PCM ? 'integer' : 'float',
    bytesPerSample,
    channelCount,
    sampleRateHz,
    blockBytes,
    fullScaleStep: tag === PCM ? Math.max(2 ** (1 - validBits(fmt, bits)), FINEST_STEP) : FINEST_STEP,
  };
}

function codingTag(fmt: DataView, where: string): number {
  const tag = fmt.getUint16(0, true);
  if (tag !== EXTENSIBLE) return tag;
  if (fmt.byteLength < 40) throw damaged(where, `an extensible one of ${fmt.byteLength} bytes`);
  if (SUBFORMAT_TAIL.some((byte, i) => fmt.getUint8(26 + i) !== byte)) {
    throw unsupported(where, 'an extensible format of an unknown kind');
  }
  return fmt.getUint16(24, true);
}

/** Samples with fewer bits than their container stand at its upper end, so that the scale is the container's. */
function validBits(fmt: DataView, containerBits: number): number {
  const stated = fmt.getUint16(0, true) === EXTENSIBLE ? fmt.getUint16(18, true) : containerBits;
  return stated >= 1 && stated <= containerBits ? stated : containerBits;
}

function damaged(where: string, found: string): SteptoneError {
  return new SteptoneError({
    code: 'wav-damaged',
    expected: 'a WAV header that makes sense',
    found,
    where,
    likelyCause: 'a bad card or a bad copy',
    nextStep: 'copy the file again from the recorder, or record the take again',
  });
}

function unsupported(where: string, found: string): SteptoneError {
  return new SteptoneError({
    code: 'wav-unsupported',
    expected: 'PCM of 8 to 32 bits, or floating point of 32 or 64 bits',
    found,
    where,
    likelyCause: 'the recorder writes a compressed or unusual format',
    nextStep: 'set the recorder to WAV, PCM, 24 bits, and record again',
  });
}
