import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { encodeWav } from '../../src/audio/write-wav.ts';

const { WaveFile } = wavefile;

describe('encodeWav', () => {
  it('writes the bytes that the RIFF/WAVE description asks for', () => {
    // Multimedia Programming Interface and Data Specifications 1.0 (IBM, Microsoft, 1991), worked out by hand.
    const bytes = encodeWav({
      sampleRateHz: 48000,
      channels: [Float64Array.of(0, 0.5, -1), Float64Array.of(1 / 8388608, 1, -0.25)],
      bitDepth: '24',
    });
    // biome-ignore format: one line a chunk
    const expected = [
      ...text('RIFF'), ...[54, 0, 0, 0], ...text('WAVE'),
      ...text('fmt '), ...[16, 0, 0, 0], ...[1, 0, 2, 0], ...[0x80, 0xbb, 0, 0], ...[0, 0x65, 4, 0], ...[6, 0, 24, 0],
      ...text('data'), ...[18, 0, 0, 0],
      ...[0, 0, 0, 1, 0, 0], ...[0, 0, 0x40, 0xff, 0xff, 0x7f], ...[0, 0, 0x80, 0, 0, 0xe0],
    ];
    expect([...bytes]).toEqual(expected);
  });

  it('says of floats that their format has no extension, and how many frames there are', () => {
    const channels = [1, 2, 3].map(() => Float64Array.of(0.5, -0.5));
    const bytes = encodeWav({ sampleRateHz: 48000, channels, bitDepth: '32f' });
    // The same description, revised 1994 (RFC 2361): an extension of 0 bytes, and a fact chunk. 576,000 bytes a second.
    // biome-ignore format: one line a chunk
    const expected = [
      ...text('RIFF'), ...[74, 0, 0, 0], ...text('WAVE'),
      ...text('fmt '), ...[18, 0, 0, 0], ...[3, 0, 3, 0], ...[0x80, 0xbb, 0, 0], ...[0, 0xca, 8, 0], ...[12, 0, 32, 0], ...[0, 0],
      ...text('fact'), ...[4, 0, 0, 0], ...[2, 0, 0, 0],
      ...text('data'), ...[24, 0, 0, 0],
    ];
    expect([...bytes.subarray(0, 58)]).toEqual(expected);
  });

  it('pads a data chunk of odd length and does not count the padding', () => {
    const bytes = encodeWav({ sampleRateHz: 44100, channels: [Float64Array.of(0.5)], bitDepth: '24' });
    const view = new DataView(bytes.buffer);
    expect(bytes.length).toBe(44 + 3 + 1);
    expect(view.getUint32(40, true)).toBe(3);
    expect(view.getUint32(4, true)).toBe(bytes.length - 8);
  });

  it.each([
    ['16', 1 / 32768],
    ['24', 1 / 8388608],
    ['32', 1 / 2147483648],
    ['32f', 2 ** -24],
  ] as const)('is read back by wavefile at %s bits', (bitDepth, step) => {
    const channels = [ramp(1001, 0.7), ramp(1001, -0.3), ramp(1001, 0.01)];
    const wav = new WaveFile(encodeWav({ sampleRateHz: 96000, channels, bitDepth }));
    const samples = wav.getSamples(false, Float64Array) as unknown as Float64Array[];
    const scale = bitDepth === '32f' ? 1 : 1 / 2 ** (Number(bitDepth) - 1);
    expect(wav.fmt).toMatchObject({ numChannels: 3, sampleRate: 96000 });
    channels.forEach((channel, c) => {
      expect(samples[c]).toHaveLength(1001);
      channel.forEach((value, i) => {
        expect(Math.abs(samples[c][i] * scale - value)).toBeLessThanOrEqual(step / 2 + 1e-15);
      });
    });
  });

  it('clips what lies beyond full scale, as a recorder does', () => {
    const bytes = encodeWav({ sampleRateHz: 48000, channels: [Float64Array.of(1.5, -1.5)], bitDepth: '16' });
    expect([...new Int16Array(bytes.buffer, 44)]).toEqual([32767, -32768]);
  });

  it('dithers to a noise of half a step, free of bias, the same for the same seed', () => {
    // Power of rounding (1/12) plus triangular dither (1/6): a quarter of a squared step (Lipshitz et al., JAES 40(5), 1992).
    const constant = new Float64Array(200_000).fill(0.3 / 32768);
    const make = (ditherSeed: number) =>
      encodeWav({ sampleRateHz: 48000, channels: [constant], bitDepth: '16', ditherSeed });
    const steps = new Int16Array(make(7).buffer, 44);
    const mean = steps.reduce((sum, step) => sum + step, 0) / steps.length;
    const power = steps.reduce((sum, step) => sum + (step - 0.3) ** 2, 0) / steps.length;
    expect(mean).toBeCloseTo(0.3, 2);
    expect(power).toBeCloseTo(0.25, 2);
    expect(Buffer.compare(make(7), make(7))).toBe(0);
    expect(Buffer.compare(make(7), make(8))).not.toBe(0);
  });

  it('refuses channels of different lengths and no channels', () => {
    const make = (channels: Float64Array[]) => () =>
      encodeWav({ sampleRateHz: 48000, channels, bitDepth: '16' });
    expect(make([new Float64Array(2), new Float64Array(3)])).toThrow(RangeError);
    expect(make([])).toThrow(RangeError);
  });
});

function ramp(length: number, slope: number): Float64Array {
  return Float64Array.from({ length }, (_, i) => slope * (i / length - 0.5));
}

function text(chars: string): number[] {
  return [...chars].map((char) => char.charCodeAt(0));
}
