import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileSource } from '../../cli/files.ts';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import type { Sound } from '../../src/audio/sound.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { type Simulation, simulate } from '../../src/simulate/simulate.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { memorySound } from '../memory-sound.ts';
import { drawSystem } from './draw-system.ts';
import type { Analysed } from './outcome.ts';

/** Makes one random system's recordings and analyses them; files are gone afterwards. */
export function runSystem(seed: number, { keepInMemory }: { keepInMemory: boolean }): Analysed {
  const simulation = simulate(drawSystem(seed).scenario);
  const began = performance.now();
  const recordings = keepInMemory ? inMemory(simulation) : onDisk(simulation);
  const made = performance.now();
  try {
    return { seed, ...analysed(simulation, recordings), seconds: secondsOf(began, made) };
  } finally {
    recordings.remove();
  }
}

interface Recordings {
  readonly names: readonly string[];
  readonly open: (file: string) => Sound;
  readonly remove: () => void;
}

function analysed(simulation: Simulation, { names, open }: Recordings): Omit<Analysed, 'seed' | 'seconds'> {
  try {
    const session = resolveSession(simulation.session, { folderFiles: [...names] });
    const { findings, notes, measurements } = analyse({ session, open, toolVersion: 'study', inputs: [] });
    const lost = notes
      .filter(({ file }) => file !== null)
      .map(({ file, reason }) => `${file}: ${reasonText(reason)}`);
    const trustedHz = Object.fromEntries(
      measurements
        .flatMap(({ tapId, left, right }) => {
          const band = left.trustedHz ?? right.trustedHz;
          return band === null ? [] : [{ tapId, band, octaves: Math.log2(band[1] / band[0]) }];
        })
        .sort((one, other) => one.octaves - other.octaves) // the widest comes last and stays
        .map(({ tapId, band }) => [tapId, band]),
    );
    return { findings, trustedHz, failure: lost.length === 0 ? null : lost.join('; ') };
  } catch (error) {
    return { findings: [], trustedHz: {}, failure: String(error) };
  }
}

function secondsOf(began: number, made: number): Analysed['seconds'] {
  return { simulated: (made - began) / 1000, analysed: (performance.now() - made) / 1000 };
}

function inMemory(simulation: Simulation): Recordings {
  const sounds = new Map(
    Array.from(simulation.recordings(), ({ file, sampleRateHz, channels }) => [
      file,
      memorySound({ name: file, sampleRateHz, channels }),
    ]),
  );
  return { names: [...sounds.keys()], open: (file) => sounds.get(file)!, remove: () => undefined };
}

function onDisk(simulation: Simulation): Recordings {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-accuracy-'));
  const names: string[] = [];
  for (const { file, sampleRateHz, bits, channels } of simulation.recordings()) {
    writeFileSync(join(folder, file), encodeWav({ sampleRateHz, channels, bitDepth: bits }));
    names.push(file);
  }
  const sources = new Map<string, ReturnType<typeof fileSource>>();
  const open = (file: string) => {
    const source = sources.get(file) ?? { ...fileSource(join(folder, file)), name: file };
    sources.set(file, source);
    return openWav(source);
  };
  const remove = () => {
    for (const source of sources.values()) source.close();
    rmSync(folder, { recursive: true });
  };
  return { names, open, remove };
}
