import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { renderTrack } from '../../src/tones/render-track.ts';
import type { Track } from '../../src/tones/track.ts';
import { sourceOf } from '../audio/wav-bytes.ts';

/** A folder for what an outside program reads and writes; gone after the group's tests. */
export function outsideFolder(): { path: (name: string) => string } {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-oracle-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  return { path: (name) => join(folder, name) };
}

/** The track as the 16-bit file on the stick. */
export function writeTrack(path: string, track: Track): void {
  const { left, right } = renderTrack(track, 48_000);
  writeFileSync(path, encodeWav({ sampleRateHz: 48_000, channels: [left, right], bitDepth: '16' }));
}

/** What a session makes of the WAV files `setting-N.wav` that an outside program left. */
export function analysedFolder(
  { path }: { path: (name: string) => string },
  session: SessionInput & { settings: readonly number[] },
): Results {
  const files = session.settings.map((setting) => `setting-${setting}.wav`);
  return analyse({
    session: resolveSession(session, { folderFiles: files }),
    open: (file) => openWav(sourceOf(readFileSync(path(file)), file)),
    toolVersion: 'test',
    inputs: [],
  });
}
