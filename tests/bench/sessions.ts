import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fullTrack } from '../../src/tones/track.ts';
import { joinRecordings } from './join-recordings.ts';

/** The folders that the bench measures; the recordings are made once and kept. */
export interface BenchSessions {
  readonly whole: string;
  /** Four settings in a bay, and the same four quiet. */
  readonly bay: string;
  readonly quiet: string;
  /** Three takes of a pair. */
  readonly pair: string;
  readonly twentySettings: string;
  readonly longFile: { readonly five: string; readonly ten: string };
  /** By numbers of taps and settings. */
  readonly grid: readonly { readonly taps: number; readonly settings: number; readonly folder: string }[];
  readonly trackFile: string;
}

const TAPS = [2, 4, 8];
const SETTINGS = [5, 10];
const BAY_SETTINGS = [26, 30, 34, 38];

export function benchSessions({ out, main }: { out: string; main: string }): BenchSessions {
  const whole = recordings('scenario.yaml', 'session');
  const bay = recordings('bay.yaml', 'bay');
  const trackFile = join(out, 'track.json');
  writeFileSync(trackFile, JSON.stringify(fullTrack));
  const files = readdirSync(whole)
    .filter((name) => name.startsWith('setting-'))
    .sort((a, b) => settingIn(a) - settingIn(b));
  const { scenario } = JSON.parse(readFileSync(join(whole, 'truth.json'), 'utf8'));
  const ids: string[] = scenario.taps.map(({ id }: { id: string }) => id);
  const listed = (some: readonly string[]) =>
    some.map((file) => ({ file: `../session/${file}`, settings: settingIn(file) }));
  return {
    whole,
    bay,
    trackFile,
    quiet: session('quiet', {
      channels: ids,
      recordings: listed(files.filter((file) => BAY_SETTINGS.includes(settingIn(file)))),
    }),
    pair: recordings('pair.yaml', 'pair'),
    twentySettings: twentySettings(),
    longFile: { five: longFile(5), ten: longFile(10) },
    grid: TAPS.flatMap((taps) =>
      SETTINGS.map((settings) => ({
        taps,
        settings,
        folder: session(`grid-${taps}-${settings}`, {
          channels: firstOnly(ids, taps),
          recordings: listed(files.filter((_, i) => (i + 1) % (files.length / settings) === 0)),
        }),
      })),
    ),
  };

  function recordings(scenarioFile: string, name: string): string {
    const folder = join(out, name);
    if (existsSync(join(folder, 'truth.json'))) return folder;
    rmSync(folder, { recursive: true, force: true });
    console.log(`making the recordings of ${scenarioFile} (some hundred megabytes, a minute or two) ...`);
    const scenario = resolve(import.meta.dirname, scenarioFile);
    execFileSync(process.execPath, [main, 'simulate', scenario, '--out', folder]);
    return folder;
  }

  function session(name: string, content: object): string {
    mkdirSync(join(out, name), { recursive: true });
    writeFileSync(join(out, name, 'session.json'), JSON.stringify(content));
    return join(out, name);
  }

  /** The same radio at twice as many settings. */
  function twentySettings(): string {
    const text = readFileSync(join(import.meta.dirname, 'scenario.yaml'), 'utf8');
    const file = join(out, 'twenty.yaml');
    writeFileSync(file, text.replace(/^settings: .*$/m, 'settings: 2-40/2'));
    return recordings(file, 'twenty');
  }

  function longFile(count: number): string {
    const some = files.slice(-count);
    const folder = session(`long-${count}`, {
      channels: ids,
      recordings: [{ file: 'all.wav', settings: some.map(settingIn).join(',') }],
    });
    joinRecordings({ from: some.map((file) => join(whole, file)), to: join(folder, 'all.wav') });
    return folder;
  }
}

function firstOnly(ids: readonly string[], count: number): string[] {
  return ids.map((id, i) => (i < count ? id : '-'));
}

function settingIn(file: string): number {
  return Number(/\d+/.exec(file)![0]);
}
