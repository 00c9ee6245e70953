import { describe, expect, it } from 'vitest';
import wavefile from 'wavefile';
import { openWav } from '../../src/audio/read-wav.ts';
import type { Sound } from '../../src/audio/sound.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { codeOf, data, HALF_AND_QUARTER } from './half-and-quarter.ts';
import { ascii, type Chunk, ds64, extensibleFmt, fmt, riff, sourceOf, u16, u32 } from './wav-bytes.ts';

const PCM_TAG = 1;
const FLOAT_TAG = 3;

describe('openWav, formats', () => {
  // Values from the format's description: two's complement little-endian, 8 bits unsigned around 128; IEEE 754 by hand.
  it.each<[string, Chunk, number[], number[]]>([
    ['8-bit', fmt({ bits: 8 }), [0, 128, 255], [-1, 0, 127 / 128]],
    ['16-bit', fmt({ bits: 16 }), [...u16(0x8000), ...u16(1), ...u16(0x7fff)], [-1, 2 ** -15, 1 - 2 ** -15]],
    ['24-bit', fmt({ bits: 24 }), [0, 0, 0x80, 1, 0, 0, 0xff, 0xff, 0x7f], [-1, 2 ** -23, 1 - 2 ** -23]],
    [
      '32-bit',
      fmt({ bits: 32 }),
      [...u32(0x80000000), ...u32(0x100), ...u32(0x40000000)],
      [-1, 2 ** -23, 0.5],
    ],
    ['32-bit float', fmt({ tag: FLOAT_TAG, bits: 32 }), [...u32(0xbf800000), ...u32(0x3e800000)], [-1, 0.25]],
    [
      '64-bit float',
      fmt({ tag: FLOAT_TAG, bits: 64 }),
      [...u32(0), ...u32(0xbff00000), ...u32(0), ...u32(0x3fd00000)],
      [-1, 0.25],
    ],
    ['16-bit extensible', extensibleFmt({ subTag: PCM_TAG, bits: 16 }), HALF_AND_QUARTER, [-0.5, 0.25]],
    ['24-bit extensible', extensibleFmt({ subTag: PCM_TAG, bits: 24 }), [0, 0, 0xc0], [-0.5]],
    [
      '24 bits in 32, extensible',
      extensibleFmt({ subTag: PCM_TAG, bits: 32, validBits: 24 }),
      u32(0xc0000000),
      [-0.5],
    ],
    ['32-bit float extensible', extensibleFmt({ subTag: FLOAT_TAG, bits: 32 }), u32(0x3e800000), [0.25]],
    ['20 bits in 24', fmt({ bits: 20 }), [0, 0, 0x40], [0.5]],
    ['24 bits in 32', fmt({ bits: 24, blockBytes: 4 }), u32(0x20000000), [0.25]],
  ])('reads %s samples at their exact values', (_, format, body, expected) => {
    const sound = openWav(sourceOf(riff([format, { id: 'data', body }])));
    expect(sound.notes).toEqual([]);
    expect(samples(sound)).toEqual([expected]);
  });

  it('gives the step next to full scale, at most as fine as converters are', () => {
    const step = (format: Chunk) =>
      openWav(sourceOf(riff([format, { id: 'data', body: new Uint8Array(8) }]))).fullScaleStep;
    expect(step(fmt({ bits: 16 }))).toBe(2 ** -15);
    expect(step(fmt({ bits: 24 }))).toBe(2 ** -23);
    expect(step(fmt({ bits: 20 }))).toBe(2 ** -19);
    expect(step(extensibleFmt({ subTag: PCM_TAG, bits: 24, validBits: 20 }))).toBe(2 ** -19);
    expect(step(fmt({ bits: 32 }))).toBe(2 ** -23);
    expect(step(fmt({ tag: FLOAT_TAG, bits: 32 }))).toBe(2 ** -23);
  });

  it('reads the RF64 and BW64 containers with the size in their ds64 chunk', () => {
    for (const id of ['RF64', 'BW64']) {
      const chunks = [
        ds64(4, 2),
        fmt({ bits: 16 }),
        { ...data, statedBytes: 0xffffffff },
        { id: 'LIST', body: [1, 2] },
      ];
      const sound = openWav(sourceOf(riff(chunks, { id, statedBytes: 0xffffffff })));
      expect(samples(sound)).toEqual([[-0.5, 0.25]]);
      expect(sound.notes).toEqual([]);
    }
  });

  it.each([44100, 48000, 88200, 96000, 176400, 192000])('accepts %d Hz', (rateHz) => {
    const bytes = riff([fmt({ bits: 16, rateHz }), data]);
    expect(openWav(sourceOf(bytes)).sampleRateHz).toBe(rateHz);
  });

  it.each([0, 8000, 32000, 384000])('refuses %d Hz by name', (rateHz) => {
    expect(codeOf(riff([fmt({ bits: 16, rateHz }), data]))).toBe('sample-rate');
  });

  it('reads samples that are not numbers as silence', () => {
    const body = [...u32(0x7fc00000), ...u32(0x7f800000), ...u32(0x3f000000)];
    const sound = openWav(sourceOf(riff([fmt({ tag: FLOAT_TAG, bits: 32 }), { id: 'data', body }])));
    expect(samples(sound)).toEqual([[0, 0, 0.5]]);
  });

  it('agrees with wavefile on every channel of a file that wavefile wrote', () => {
    const wav = new wavefile.WaveFile();
    const channels = Array.from({ length: 7 }, (_, c) =>
      Int32Array.from({ length: 300 }, (_, i) => ((i * 7919 * (c + 1)) % 16777216) - 8388608),
    );
    wav.fromScratch(7, 96000, '24', channels);
    wav.setCuePoint({ position: 3 });
    const sound = openWav(sourceOf(wav.toBuffer()));
    expect(sound).toMatchObject({ channelCount: 7, sampleRateHz: 96000, length: 300 });
    expect(samples(sound)).toEqual(channels.map((channel) => [...channel].map((step) => step / 8388608)));
  });
});

describe('openWav, chunks', () => {
  const odd: Chunk = { id: 'bext', body: ascii('morning') };

  it.each<[string, Chunk[]]>([
    [
      'bext, cue and LIST before the data',
      [
        { id: 'bext', body: new Uint8Array(602) },
        fmt({ bits: 16 }),
        { id: 'cue ', body: u32(0) },
        { id: 'LIST', body: ascii('INFO') },
        data,
      ],
    ],
    ['chunks after the data', [fmt({ bits: 16 }), data, { id: 'LIST', body: ascii('INFO') }, odd]],
    ['an odd chunk with its padding byte', [odd, fmt({ bits: 16 }), odd, data]],
    [
      'an odd chunk without its padding byte',
      [{ ...odd, padded: false }, fmt({ bits: 16 }), { ...odd, padded: false }, data],
    ],
    ['a chunk of an unknown kind', [{ id: 'Zz9!', body: [1, 2, 3, 4, 5] }, fmt({ bits: 16 }), data]],
    ['a filler that aligns the data', [fmt({ bits: 16 }), { id: 'FLLR', body: new Uint8Array(4000) }, data]],
    ['data before the format', [data, fmt({ bits: 16 })]],
    ['empty chunks', [{ id: 'JUNK', body: [] }, fmt({ bits: 16 }), { id: 'fact', body: [] }, data]],
  ])('finds the samples among %s', (_, chunks) => {
    const sound = openWav(sourceOf(riff(chunks)));
    expect(samples(sound)).toEqual([[-0.5, 0.25]]);
    expect(sound.notes).toEqual([]);
  });

  it.each<[string, Uint8Array]>([
    ['a size of 0', riff([fmt({ bits: 16 }), { ...data, statedBytes: 0 }], { statedBytes: 0 })],
    ['a size of 0xFFFFFFFF', riff([fmt({ bits: 16 }), { ...data, statedBytes: 0xffffffff }])],
    ['a size larger than the file', riff([fmt({ bits: 16 }), { ...data, statedBytes: 480_000 }])],
    [
      'an RF64 size of 0',
      riff([ds64(0), fmt({ bits: 16 }), { ...data, statedBytes: 0xffffffff }], { id: 'RF64' }),
    ],
    [
      'an RF64 size larger than the file',
      riff([ds64(2 ** 40), fmt({ bits: 16 }), { ...data, statedBytes: 0xffffffff }], { id: 'RF64' }),
    ],
    [
      'RF64 without a ds64 chunk',
      riff([fmt({ bits: 16 }), { ...data, statedBytes: 0xffffffff }], { id: 'RF64' }),
    ],
  ])('uses what is there, with a note, after %s', (_, bytes) => {
    const sound = openWav(sourceOf(bytes));
    expect(samples(sound)).toEqual([[-0.5, 0.25]]);
    expect(sound.notes).toHaveLength(1);
  });

  it('leaves out a last frame that is cut off, with a note', () => {
    const whole = riff([fmt({ bits: 16, channels: 2 }), { id: 'data', body: new Uint8Array(40) }]);
    const sound = openWav(sourceOf(whole.subarray(0, whole.length - 3)));
    expect(sound.length).toBe(9);
    expect(sound.notes).toHaveLength(2);
  });

  it('takes a data chunk of 0 bytes with another chunk behind it at its word', () => {
    expect(
      codeOf(riff([fmt({ bits: 16 }), { id: 'data', body: [] }, { id: 'LIST', body: ascii('INFO') }])),
    ).toBe('wav-damaged');
  });

  it('leaves out bytes after the sound that are no chunk, and tells of a second and more of them', () => {
    const tailed = (count: number) =>
      Uint8Array.from([...riff([fmt({ bits: 16 }), data]), ...new Uint8Array(count)]);
    expect(openWav(sourceOf(tailed(100)))).toMatchObject({ length: 2, notes: [] });
    expect(openWav(sourceOf(tailed(96_000)))).toMatchObject({
      length: 2,
      notes: [{ code: 'bytes behind the sound', seconds: 1 }],
    });
  });

  it('says nothing of a second and more of chunks after the sound', () => {
    const bytes = riff([fmt({ bits: 16 }), data, { id: 'iXML', body: new Uint8Array(100_001) }]);
    expect(openWav(sourceOf(bytes)).notes).toEqual([]);
  });
});

describe('openWav, sections', () => {
  const frames = 100_000;
  const left = Float64Array.from({ length: frames }, (_, i) => ((i * 31) % 65536) / 32768 - 1);
  const right = left.map((value) => -value / 2);
  const sound = openWav(
    sourceOf(encodeWav({ sampleRateHz: 48000, channels: [left, right], bitDepth: '24' })),
  );

  it('gives the same samples wherever a section begins, across its blocks', () => {
    const [whole] = sound.readSection({ start: 0, count: frames });
    for (const [start, count] of [
      [0, 1],
      [43_689, 3],
      [43_690, 50_000],
      [99_999, 1],
      [12_345, 0],
    ]) {
      expect(sound.readSection({ start, count })[0]).toEqual(whole.slice(start, start + count));
    }
  });

  it('is zero before the beginning and after the end', () => {
    const [around] = sound.readSection({ start: -3, count: 5 });
    expect([...around]).toEqual([0, 0, 0, left[0], left[1]]);
    const [, past] = sound.readSection({ start: frames - 1, count: 3 });
    expect([...past]).toEqual([right[frames - 1], 0, 0]);
    expect([...sound.readSection({ start: frames + 10, count: 2 })[0]]).toEqual([0, 0]);
    expect([...sound.readSection({ start: -10, count: 2 })[0]]).toEqual([0, 0]);
  });

  it('gives the channels that are asked for as if all were', () => {
    const whole = sound.readSection({ start: 5, count: 60_000 });
    const [empty, one] = sound.readSection({ start: 5, count: 60_000, channels: [1] });
    expect(one).toEqual(whole[1]);
    expect(empty.length).toBe(0);
  });

  it('never hands out the same arrays twice', () => {
    const first = sound.readSection({ start: 0, count: 10 });
    first[0].fill(9);
    expect(sound.readSection({ start: 0, count: 10 })[0][0]).toBe(left[0]);
  });
});

function samples(sound: Sound): number[][] {
  return sound.readSection({ start: 0, count: sound.length }).map((channel) => [...channel]);
}
