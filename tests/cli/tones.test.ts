import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fileSource } from '../../cli/files.ts';
import { tonesCommand } from '../../cli/tones.ts';
import { openWav } from '../../src/audio/read-wav.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-tones-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('tonesCommand', () => {
  it('writes tracks, meter tones and the bench sheet, and refuses to write over them', async () => {
    const outFolder = join(folder, 'stick');
    const outcome = await tonesCommand({ outFolder, rates: [44_100], force: false, settings: [10, 20, 30] });
    const names = readdirSync(outFolder);
    expect(names.sort()).toEqual([...(outcome.data as { files: string[] }).files].sort());
    const lengths = names
      .filter((name) => name.endsWith('.wav'))
      .map((name) => {
        const source = fileSource(join(outFolder, name));
        const { sampleRateHz, channelCount, length, notes } = openWav(source);
        source.close();
        expect({ sampleRateHz, channelCount, notes }).toEqual({
          sampleRateHz: 44_100,
          channelCount: 2,
          notes: [],
        });
        return length / sampleRateHz;
      });
    // Nine tones to set gains by, four at low level for channels of tweeters.
    expect(lengths.sort((a, b) => a - b)).toEqual([19.5, 44, ...new Array(9 + 4).fill(60)]);
    const again = tonesCommand({ outFolder, rates: [44_100], force: false });
    await expect(again).rejects.toMatchObject({ code: 'would-overwrite' });
  });

  it('writes nothing at all where one of its files is in the way', async () => {
    writeFileSync(join(folder, 'steptone-bench-sheet.html'), 'filled in by hand');
    const attempt = tonesCommand({ outFolder: folder, rates: [48_000], force: false });
    await expect(attempt).rejects.toMatchObject({ code: 'would-overwrite' });
    expect(readdirSync(folder)).toEqual(['steptone-bench-sheet.html']);
    expect(readFileSync(join(folder, 'steptone-bench-sheet.html'), 'utf8')).toBe('filled in by hand');
  });

  it('refuses a rate that the tracks are not made for', async () => {
    const attempt = tonesCommand({ outFolder: join(folder, 'new'), rates: [96_000], force: false });
    await expect(attempt).rejects.toMatchObject({ code: 'usage' });
    expect(existsSync(join(folder, 'new'))).toBe(false);
  });
});
