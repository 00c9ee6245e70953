import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fileSource, writeNew } from '../../cli/files.ts';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { seededRandom } from '../../src/dsp/random.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import { renderTrack } from '../../src/tones/render-track.ts';
import { responseTrack } from '../../src/tones/track.ts';
import { memorySound } from '../memory-sound.ts';
import { describeWith, runOutside } from '../outside-programs.ts';

/** A flat radio fed from the track as a phone or a wireless link would bring it, coded and decoded by ffmpeg. */
const CODECS = [
  {
    name: 'MP3 128 kbit/s',
    file: 'track.mp3',
    coding: ['libmp3lame', '-b:a', '128k'],
    ceilingHz: [15_500, 17_500],
  },
  { name: 'AAC 128 kbit/s', file: 'track.m4a', coding: ['aac', '-b:a', '128k'], ceilingHz: [16_000, 18_500] },
  { name: 'SBC 328 kbit/s', file: 'track.sbc', coding: ['sbc', '-b:a', '328k'], ceilingHz: null },
] as const;
const SETTINGS = [12, 18, 24];
const sampleRateHz = 44_100;

let folder: string;
let original: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-lossy-session-'));
  original = join(folder, 'track.wav');
  const { left, right } = renderTrack(responseTrack, sampleRateHz);
  writeNew(original, encodeWav({ sampleRateHz, channels: [left, right], bitDepth: '16' }));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function analysedThrough({ file, coding }: (typeof CODECS)[number]): Results {
  const [coded, decoded] = [join(folder, file), join(folder, `${file}.wav`)];
  runOutside('ffmpeg', ['-v', 'error', '-y', '-i', original, '-c:a', ...coding, coded]);
  runOutside('ffmpeg', ['-v', 'error', '-y', '-i', coded, '-c:a', 'pcm_s24le', decoded]);
  const source = fileSource(decoded);
  const sound = openWav(source);
  const track = sound.readSection({ start: -sampleRateHz, count: sound.length + 2 * sampleRateHz });
  source.close();
  const session = resolveSession(
    { taps: ['front-left', 'front-right'], settings: SETTINGS },
    { folderFiles: SETTINGS.map((setting) => `setting-${setting}.wav`) },
  );
  return analyse({
    session,
    open: (name) => {
      const setting = Number(/\d+/.exec(name)![0]);
      const gain = 10 ** ((setting - 30) / 20);
      const random = seededRandom(setting);
      const channels = track.map((channel) =>
        channel.map((value) => gain * value + 5e-4 * gain * random.gaussian()),
      );
      return memorySound({ name, sampleRateHz, channels });
    },
    toolVersion: 'test',
    inputs: [],
  });
}

describeWith(['ffmpeg'], 'a radio fed from a lossy source', () => {
  describe.each(CODECS)('$name', (codec) => {
    let results: Results;
    beforeAll(() => {
      results = analysedThrough(codec);
    });

    it('shows no crossover, no band limit and no bass that falls', () => {
      expect(findingsOf(results.findings, 'crossover')).toEqual([]);
      for (const { verdict } of findingsOf(results.findings, 'band'))
        expect(verdict).not.toBe('band-limited');
      for (const { verdict } of findingsOf(results.findings, 'bass-change'))
        expect(verdict).not.toBe('falls with volume');
    });

    it('has its own ceiling named as the player’s or the file’s, where it has one', () => {
      const ceilings = findingsOf(results.findings, 'common-ceiling').map(({ ceilingHz }) => ceilingHz);
      if (codec.ceilingHz === null) {
        expect(ceilings).toEqual([]);
        return;
      }
      expect(ceilings).toHaveLength(1);
      expect(ceilings[0]).toBeGreaterThan(codec.ceilingHz[0]);
      expect(ceilings[0]).toBeLessThan(codec.ceilingHz[1]);
    });

    it('lets the check say nothing against the takes', () => {
      expect(
        results.checks!.takes.flatMap(({ remarks }) => remarks.filter(({ weight }) => weight !== 'note')),
      ).toEqual([]);
    });
  });
});
