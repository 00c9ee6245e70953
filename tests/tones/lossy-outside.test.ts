import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fileSource } from '../../cli/files.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { measureTake } from '../../src/measure/measure-take.ts';
import { takeReader } from '../../src/measure/take-reader.ts';
import { gridFrequencyHz, gridPosition } from '../../src/model/frequency-grid.ts';
import { magnitudeDb } from '../../src/model/response.ts';
import { findTakes } from '../../src/takes/find-takes.ts';
import { renderTrack } from '../../src/tones/render-track.ts';
import { fullTrack } from '../../src/tones/track.ts';
import { describeWith, runOutside } from '../outside-programs.ts';

/** The track as a phone or a wireless link would bring it, coded and decoded by ffmpeg; bounds as measured, with room. */
const CODECS = [
  {
    name: 'MP3 128 kbit/s',
    file: 'track.mp3',
    coding: ['libmp3lame', '-b:a', '128k'],
    ceilingHz: [15_500, 17_500],
    rippleDb: 0.05,
  },
  {
    name: 'AAC 128 kbit/s',
    file: 'track.m4a',
    coding: ['aac', '-b:a', '128k'],
    ceilingHz: [16_000, 18_500],
    rippleDb: 0.3,
  },
  {
    name: 'SBC 328 kbit/s',
    file: 'track.sbc',
    coding: ['sbc', '-b:a', '328k'],
    ceilingHz: [18_500, 20_000],
    rippleDb: 0.05,
  },
] as const;

let folder: string;
let original: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-lossy-'));
  original = join(folder, 'track.wav');
  const { left, right } = renderTrack(fullTrack, 44_100);
  writeFileSync(original, encodeWav({ sampleRateHz: 44_100, channels: [left, right], bitDepth: '16' }));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describeWith(['ffmpeg'], 'the track through lossy coding', () => {
  describe.each(CODECS)('$name', ({ file, coding, ceilingHz, rippleDb }) => {
    let measured: ReturnType<typeof measureTake>;
    let takeCount: number;
    beforeAll(() => {
      const [coded, decoded] = [join(folder, file), join(folder, `${file}.wav`)];
      runOutside('ffmpeg', ['-v', 'error', '-y', '-i', original, '-c:a', ...coding, coded]);
      runOutside('ffmpeg', ['-v', 'error', '-y', '-i', coded, '-c:a', 'pcm_s24le', decoded]);
      const source = fileSource(decoded);
      const sound = openWav(source);
      const takes = findTakes(sound, [0, 1]);
      takeCount = takes.length;
      measured = measureTake(takeReader({ sound, take: takes[0], channels: [0, 1] }), {
        recorderFloorDbFs: [null, null],
      });
      source.close();
    });

    it('is found, once, with its clock', () => {
      expect(takeCount).toBe(1);
      expect(Math.abs(measured.clock!.ppm)).toBeLessThan(0.3);
    });

    it('shows no bass loss', () => {
      for (const levelsDb of [measured.channels[0].left, measured.channels[1].right].map(magnitudeDb)) {
        const atDb = (hz: number) => levelsDb[Math.round(gridPosition(hz))];
        for (const hz of [40, 63, 80, 100]) expect(Math.abs(atDb(hz) - atDb(1000))).toBeLessThan(0.2);
      }
    });

    it('shows no band limit below its own ceiling: 98 of 100 points level from 40 Hz to 12 kHz', () => {
      const levelsDb = magnitudeDb(measured.channels[0].left);
      const reference = levelsDb[Math.round(gridPosition(1000))];
      const inBand = [...levelsDb].filter((_, i) => gridFrequencyHz[i] > 40 && gridFrequencyHz[i] < 12_000);
      const level = inBand.filter((levelDb) => Math.abs(levelDb - reference) < rippleDb);
      expect(level.length / inBand.length).toBeGreaterThanOrEqual(0.98);
    });

    it('ends at its own ceiling, alike on both sides', () => {
      for (const response of [measured.channels[0].left, measured.channels[1].right]) {
        expect(response.trustedHz![1]).toBeGreaterThan(ceilingHz[0]);
        expect(response.trustedHz![1]).toBeLessThan(ceilingHz[1]);
      }
    });

    it('keeps the sides apart', () => {
      expect(measured.channels[0].right.trustedHz).toBeNull();
      expect(measured.channels[1].left.trustedHz).toBeNull();
    });

    it('stays under 1 % distortion on every ladder step, so that no clipping is seen', () => {
      for (const { steps } of measured.channels[0].ladders) {
        expect(Math.max(...steps.map(({ thd }) => thd))).toBeLessThan(0.01);
      }
    });
  });
});
