import { closeSync, ftruncateSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fileSource } from '../../cli/files.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { ds64, fmt, riff } from './wav-bytes.ts';

/** 6 channels of 24 bits at 96 kHz: 4.5 GiB are 46 minutes. The files are sparse: they take no room on the disk. */
const CHANNELS = 6;
const BLOCK = CHANNELS * 3;
const FRAMES = Math.ceil((4.5 * 2 ** 30) / BLOCK);
const DATA_BYTES = FRAMES * BLOCK;
/** Frames, near both ends and around 4 GiB, at which channel 2 gets a mark of half of full scale. */
const MARKS = [0, 1000, Math.floor(2 ** 32 / BLOCK) - 10, Math.floor(2 ** 32 / BLOCK) + 10, FRAMES - 1];

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-long-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('openWav on recordings over 4 GiB', () => {
  it.each([
    ['RF64', [ds64(DATA_BYTES, FRAMES)], 0xffffffff, 0],
    ['BW64', [ds64(DATA_BYTES, FRAMES)], 0xffffffff, 0],
    ['plain RIFF whose size has started again at 0', [], DATA_BYTES % 2 ** 32, 1],
    ['RIFF of a recorder that lost power', [], 0, 1],
  ] as const)('finds every mark in %s', (kind, before, statedBytes, notes) => {
    const id = kind.slice(0, 4) === 'RF64' || kind.slice(0, 4) === 'BW64' ? kind.slice(0, 4) : 'RIFF';
    const format = fmt({ bits: 24, channels: CHANNELS, rateHz: 96000 });
    const header = riff([...before, format, { id: 'data', body: [], statedBytes }], {
      id,
      statedBytes: 0xffffffff,
    });
    const source = fileSource(sparseFile(header));
    const sound = openWav(source);
    expect(sound.length).toBe(FRAMES);
    expect(sound.notes).toHaveLength(notes);
    for (const mark of MARKS) {
      const section = sound.readSection({ start: mark - 2, count: 5 });
      expect([...section[2]]).toEqual([0, 0, 0.5, 0, 0]);
      expect([...section[1], ...section[3]]).toEqual(new Array(10).fill(0));
    }
    source.close();
  });

  it('reads a minute of six channels in sections of a second within 100 MB', () => {
    const header = riff(
      [
        ds64(DATA_BYTES),
        fmt({ bits: 24, channels: CHANNELS, rateHz: 96000 }),
        { id: 'data', body: [], statedBytes: 0xffffffff },
      ],
      { id: 'RF64' },
    );
    const source = fileSource(sparseFile(header));
    const sound = openWav(source);
    const before = process.memoryUsage().rss;
    let most = before;
    let energy = 0;
    for (let second = 0; second < 60; second++) {
      const section = sound.readSection({ start: FRAMES - (60 - second) * 96000, count: 96000 });
      energy += section[2].reduce((sum, value) => sum + value * value, 0);
      most = Math.max(most, process.memoryUsage().rss);
    }
    source.close();
    expect(energy).toBe(0.25);
    expect(most - before).toBeLessThan(100e6);
  });
});

function sparseFile(header: Uint8Array): string {
  const path = join(folder, 'long.wav');
  const file = openSync(path, 'w');
  writeSync(file, header);
  ftruncateSync(file, header.length + DATA_BYTES);
  for (const mark of MARKS)
    writeSync(file, Uint8Array.of(0, 0, 0x40), 0, 3, header.length + mark * BLOCK + 6);
  closeSync(file);
  return path;
}
