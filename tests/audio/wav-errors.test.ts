import { describe, expect, it } from 'vitest';
import { openWav } from '../../src/audio/read-wav.ts';
import { codeOf, data } from './half-and-quarter.ts';
import { ascii, type Chunk, extensibleFmt, fmt, riff, sourceOf } from './wav-bytes.ts';

describe('openWav, errors', () => {
  it.each<[string, number[], RegExp]>([
    ['an MP3 with a tag', ascii('ID3\x03\x00\x00\x00\x00\x00\x00\x00\x00\x00'), /MP3/],
    ['an MP3 without a tag', [0xff, 0xfb, 0x90, 0x44, ...new Array(20).fill(0)], /MP3/],
    ['an AAC stream', [0xff, 0xf1, 0x50, 0x80, ...new Array(20).fill(0)], /AAC/],
    ['a FLAC file', ascii('fLaC\0\0\0\x22aaaaaaaa'), /FLAC/],
    ['an Ogg file', ascii('OggS\0\0\0\0aaaaaaaa'), /Ogg/],
    ['an M4A file', ascii('\0\0\0\x20ftypM4A aaaa'), /M4A/],
    ['an AIFF file', ascii('FORM\0\0\0\0AIFFCOMM'), /AIFF/],
    ['a big-endian WAV file', ascii('RIFX\0\0\0\0WAVEfmt '), /big-endian/],
    ['a video', ascii('RIFF\0\0\0\0AVI LIST'), /video/],
    ['text', ascii('taps: front left'), /text/],
    ['zeros', new Array(100).fill(0), /lost power/],
    ['nothing', [], /empty/],
    ['five bytes', [1, 2, 3, 4, 5], /5 bytes/],
    ['anything else', new Array(16).fill(0xaa), /aa aa aa aa/],
  ])('tells that %s is not WAV, and what it looks like', (_, bytes, found) => {
    const source = sourceOf(Uint8Array.from(bytes), 'card/front-20.wav');
    expect(() => openWav(source)).toThrow(
      expect.objectContaining({
        code: 'not-wav',
        parts: expect.objectContaining({ where: 'card/front-20.wav', found: expect.stringMatching(found) }),
      }),
    );
  });

  it.each<[string, Chunk, RegExp]>([
    ['ADPCM', fmt({ tag: 0x11, bits: 4, blockBytes: 1024 }), /ADPCM/],
    ['A-law', fmt({ tag: 6, bits: 8 }), /A-law/],
    ['MP3 inside WAV', fmt({ tag: 0x55, bits: 0, blockBytes: 1 }), /MP3/],
    ['an unknown coding', fmt({ tag: 0x1234, bits: 16 }), /4660/],
    ['an unknown sub-format', extensibleFmt({ subTag: 1, bits: 16, tail: new Array(14).fill(7) }), /unknown/],
    ['16-bit floating point', fmt({ tag: 3, bits: 16 }), /floating/],
    ['64-bit integers', fmt({ bits: 64 }), /64 bits/],
  ])('tells that %s is not supported', (_, format, found) => {
    expect(() => openWav(sourceOf(riff([format, data])))).toThrow(
      expect.objectContaining({
        code: 'wav-unsupported',
        parts: expect.objectContaining({ found: expect.stringMatching(found) }),
      }),
    );
  });

  it.each<[string, Uint8Array]>([
    ['no data chunk', riff([fmt({ bits: 16 })])],
    ['no format chunk', riff([data])],
    ['no chunk at all', riff([])],
    ['a format chunk of 10 bytes', riff([{ id: 'fmt ', body: new Uint8Array(10) }, data])],
    ['an extensible format that is cut short', riff([fmt({ tag: 0xfffe, bits: 16 }), data])],
    ['no channels', riff([fmt({ bits: 16, channels: 0, blockBytes: 2 }), data])],
    [
      '30 000 channels',
      riff([fmt({ bits: 16, channels: 30_000 }), { id: 'data', body: new Uint8Array(60_000) }]),
    ],
    ['more bits than bytes', riff([fmt({ bits: 32, blockBytes: 2 }), data])],
    [
      'frames that do not divide among the channels',
      riff([fmt({ bits: 16, channels: 3, blockBytes: 8 }), data]),
    ],
    [
      'frames of no bytes',
      riff([{ id: 'fmt ', body: [...fmt({ bits: 16 }).body.slice(0, 12), 0, 0, 16, 0] }, data]),
    ],
    ['no bits', riff([fmt({ bits: 0, blockBytes: 2 }), data])],
    [
      'a chunk that reaches past the end before the data',
      riff([fmt({ bits: 16 }), { id: 'LIST', body: [], statedBytes: 2 ** 30 }, data]),
    ],
    ['a header and nothing behind it', riff([fmt({ bits: 16 }), { id: 'data', body: [] }])],
    ['less than one frame', riff([fmt({ bits: 16, channels: 8 }), data])],
  ])('tells that a file with %s is damaged', (_, bytes) => {
    expect(codeOf(bytes)).toBe('wav-damaged');
  });
});
