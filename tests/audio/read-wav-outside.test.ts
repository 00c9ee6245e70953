import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { fileSource } from '../../cli/files.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import type { Sound } from '../../src/audio/sound.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { describeWith, runOutside } from '../outside-programs.ts';

/** What every program here is asked for: 997 Hz at half of full scale, the first sample 0. */
const TONE_HZ = 997;
const AMPLITUDE = 0.5;

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-outside-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describeWith(['sox'], 'WAV files written by sox', () => {
  it.each([
    ['16-bit', ['-b', '16'], 48000, 2, 2 ** -15],
    ['24-bit extensible', ['-b', '24'], 96000, 2, 2 ** -23],
    ['24-bit, 8 channels', ['-b', '24'], 48000, 8, 2 ** -23],
    ['32-bit', ['-b', '32'], 192000, 1, 2 ** -24],
    ['32-bit float', ['-e', 'floating-point', '-b', '32'], 44100, 2, 2 ** -24],
    ['64-bit float', ['-e', 'floating-point', '-b', '64'], 44100, 2, 2 ** -24],
    ['8-bit', ['-b', '8'], 44100, 1, 2 ** -7],
  ] as const)('are read right: %s', (name, coding, rateHz, channels, step) => {
    const path = join(folder, `sox ${name}.wav`);
    // -D: no dither, so that the samples are the sine, rounded.
    runOutside('sox', [
      ...['-D', '-r', `${rateHz}`, '-c', `${channels}`, '-n', ...coding, path],
      ...['synth', '0.1', 'sine', `${TONE_HZ}`, 'vol', `${AMPLITUDE}`],
    ]);
    expectTone(path, { rateHz, channels, frames: rateHz / 10, step });
  });
});

describeWith(['ffmpeg'], 'WAV files written by ffmpeg', () => {
  it.each([
    ['RF64', 'pcm_s24le', ['-rf64', 'always'], 2, 2 ** -23],
    ['broadcast WAV', 'pcm_s24le', ['-write_bext', '1', '-metadata', 'description=odd'], 2, 2 ** -23],
    ['LIST of odd length', 'pcm_s16le', ['-metadata', 'title=abcd', '-metadata', 'comment=abc'], 1, 2 ** -15],
    ['24-bit, 6 channels, extensible', 'pcm_s24le', [], 6, 2 ** -23],
    ['32-bit float', 'pcm_f32le', [], 2, 2 ** -24],
    ['64-bit float', 'pcm_f64le', [], 2, 2 ** -24],
    ['32-bit', 'pcm_s32le', [], 2, 2 ** -24],
    ['8-bit', 'pcm_u8', [], 1, 2 ** -7],
  ] as const)('are read right: %s', (name, codec, options, channels, step) => {
    const path = join(folder, `ffmpeg ${name}.wav`);
    runOutside('ffmpeg', ['-v', 'error', '-y', ...toneSource(channels), '-c:a', codec, ...options, path]);
    expectTone(path, { rateHz: 48000, channels, frames: 4800, step });
  });

  it('are read right from a pipe, where the sizes could not be filled in', () => {
    const path = join(folder, 'pipe.wav');
    runOutside('scipy', [
      `import subprocess; open(${JSON.stringify(path)}, 'wb').write(subprocess.run(` +
        `${JSON.stringify(['ffmpeg', '-v', 'error', ...toneSource(2), '-c:a', 'pcm_s24le', '-f', 'wav', '-'])}, capture_output=True, check=True).stdout)`,
    ]);
    const sound = expectTone(path, { rateHz: 48000, channels: 2, frames: 4800, step: 2 ** -23 });
    expect(sound.notes).toHaveLength(1);
  });

  it.each([
    ['libmp3lame', 'mp3', /MP3/],
    ['flac', 'flac', /FLAC/],
    ['aac', 'm4a', /M4A/],
    ['libvorbis', 'ogg', /Ogg/],
    ['pcm_s16be', 'aiff', /AIFF/],
    ['pcm_s16le', 'w64', /Wave64/],
  ])('are asked for by name where %s in .%s came instead', (codec, suffix, found) => {
    const path = join(folder, `other.${suffix}`);
    runOutside('ffmpeg', ['-v', 'error', '-y', ...toneSource(2), '-c:a', codec, path]);
    const source = fileSource(path);
    const parts = expect.objectContaining({ found: expect.stringMatching(found) });
    expect(() => openWav(source)).toThrow(expect.objectContaining({ code: 'not-wav', parts }));
    source.close();
  });

  it.each(['adpcm_ima_wav', 'adpcm_ms', 'pcm_mulaw', 'pcm_alaw'])(
    'are refused where WAV holds %s',
    (codec) => {
      const path = join(folder, `${codec}.wav`);
      runOutside('ffmpeg', ['-v', 'error', '-y', ...toneSource(2), '-c:a', codec, path]);
      const source = fileSource(path);
      expect(() => openWav(source)).toThrow(expect.objectContaining({ code: 'wav-unsupported' }));
      source.close();
    },
  );
});

describeWith(['scipy'], 'WAV files that we write', () => {
  it.each([
    ['16', 'int16', 2 ** 15],
    ['24', 'int32', 2 ** 31], // scipy moves 24 bits to the top of 32
    ['32', 'int32', 2 ** 31],
    ['32f', 'float32', 1],
  ] as const)('are read by scipy at %s bits with the same values', (bitDepth, type, scale) => {
    const path = join(folder, `ours-${bitDepth}.wav`);
    const channels = [0.5, -0.25, 0.125].map((gain) =>
      Float64Array.from({ length: 50 }, (_, i) => (gain * i) / 50),
    );
    writeFileSync(path, encodeWav({ sampleRateHz: 88200, channels, bitDepth }));
    const answer = JSON.parse(
      runOutside('scipy', [
        'import json, scipy.io.wavfile as w\n' +
          `rate, x = w.read(${JSON.stringify(path)})\n` +
          'print(json.dumps([rate, str(x.dtype), x.T.tolist()]))',
      ]),
    );
    expect(answer.slice(0, 2)).toEqual([88200, type]);
    const source = fileSource(path);
    const ours = openWav(source).readSection({ start: 0, count: 50 });
    answer[2].forEach((channel: number[], c: number) => {
      expect(channel.map((value) => Math.fround(value / scale))).toEqual([...ours[c]]);
    });
    source.close();
  });
});

function toneSource(channels: number): string[] {
  const sine = `${AMPLITUDE}*sin(2*PI*${TONE_HZ}*t)`;
  const layout = channels === 6 ? '5.1' : channels === 2 ? 'stereo' : 'mono';
  return [
    '-f',
    'lavfi',
    '-i',
    `aevalsrc=${new Array(channels).fill(sine).join('|')}:s=48000:d=0.1:c=${layout}`,
  ];
}

/** Within one and a half steps: half for rounding, one for programs that scale by 2^(bits-1)-1. */
function expectTone(
  path: string,
  tone: { rateHz: number; channels: number; frames: number; step: number },
): Sound {
  const source = fileSource(path);
  const sound = openWav(source);
  const { sampleRateHz, channelCount, length } = sound;
  expect({ sampleRateHz, channelCount, length }).toEqual({
    sampleRateHz: tone.rateHz,
    channelCount: tone.channels,
    length: tone.frames,
  });
  for (const channel of sound.readSection({ start: 0, count: length })) {
    const worst = channel.reduce(
      (most, value, i) =>
        Math.max(most, Math.abs(value - AMPLITUDE * Math.sin((2 * Math.PI * TONE_HZ * i) / tone.rateHz))),
      0,
    );
    expect(worst).toBeLessThanOrEqual(1.5 * tone.step);
  }
  source.close();
  return sound;
}
