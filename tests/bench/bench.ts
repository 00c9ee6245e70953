import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fullTrack } from '../../src/tones/track.ts';
import { joinRecordings } from './join-recordings.ts';

/**
 * `npm run bench`: how long the analysis of a session of 8 taps and 10 settings takes (about 500 MB at 48 kHz and 24 bits,
 * made once), against the floor and against plain scipy, and how it grows. Medians of RUNS runs that take turns, so
 * that what else the machine does weighs on all alike; ratios are of processor time, which other work disturbs least.
 */
const RUNS = Number(process.argv[2] ?? 3);
const START_RUNS = 15;

interface Usage {
  readonly wallSeconds: number;
  readonly cpuSeconds: number;
  readonly peakMegabytes: number;
}

const root = resolve(import.meta.dirname, '../..');
const out = join(root, 'out', 'bench');
const session = join(out, 'session');
const main = join(root, 'dist/cli/main.js');
const usageFile = join(out, 'usage.json');
const trackFile = join(out, 'track.json');
const reportUsage = ['--import', join(import.meta.dirname, 'report-usage.js')];
const floorScript = ['--import', 'tsx', join(import.meta.dirname, 'floor.ts')];

prepare();
const jobs: Record<string, () => Usage> = {
  'the floor': () => JSON.parse(run(process.execPath, [...floorScript, session])),
  'analyse, two threads': () => analyse(session),
  ...(has('taskset') ? { 'analyse, one thread': () => analyse(session, { oneProcessor: true }) } : {}),
  ...(has('/usr/bin/python3', ['-c', 'import scipy'])
    ? {
        'plain scipy': () =>
          JSON.parse(
            run('/usr/bin/python3', [join(import.meta.dirname, 'scipy_measure.py'), session, trackFile]),
          ),
      }
    : {}),
  'half of the settings': () => analyse(join(out, 'half-settings')),
  'half of the taps': () => analyse(join(out, 'half-taps')),
  'one file of 5 takes': () => analyse(join(out, 'long-5')),
  'one file of 10 takes': () => analyse(join(out, 'long-10')),
};
const measured = takeTurns(jobs, RUNS);
const [floor, whole] = [measured.get('the floor')!, measured.get('analyse, two threads')!];
for (const [name, { cpuSeconds, wallSeconds, peakMegabytes }] of measured)
  console.log(
    `${name.padEnd(22)} ${cpuSeconds.toFixed(1).padStart(6)} s processor ${wallSeconds.toFixed(1).padStart(6)} s elapsed ${peakMegabytes.toFixed(0).padStart(5)} MB`,
  );
ratio('analyse against the floor, processor time (goal 2)', whole.cpuSeconds / floor.cpuSeconds);
ratio('analyse against the floor, elapsed', whole.wallSeconds / floor.wallSeconds);
const scipy = measured.get('plain scipy');
if (scipy !== undefined) {
  ratio('analyse against scipy, elapsed (goal 0.6)', whole.wallSeconds / scipy.wallSeconds);
  ratio('analyse against scipy, processor time', whole.cpuSeconds / scipy.cpuSeconds);
}
const cpuOf = (name: string) => measured.get(name)!.cpuSeconds;
ratio('half of the settings against all (0.5 is linear)', cpuOf('half of the settings') / whole.cpuSeconds);
ratio('half of the taps against all (0.5 is linear)', cpuOf('half of the taps') / whole.cpuSeconds);
ratio(
  'one file of 5 takes against 10 (0.5 is linear)',
  cpuOf('one file of 5 takes') / cpuOf('one file of 10 takes'),
);
startUp();

function startUp(): void {
  const gains = ['gains', '--readings', '55=3.2,997=8.0', '--watts', '100', '--ohms', '4'];
  const starts = takeTurns(
    {
      'bare node': () => used(['-e', '0']),
      '--help': () => used([main, '--help']),
      gains: () => used([main, ...gains]),
    },
    START_RUNS,
  );
  const bare = starts.get('bare node')!.cpuSeconds;
  ratio('start of --help against bare node (goal 1.5)', starts.get('--help')!.cpuSeconds / bare);
  ratio('start of gains against bare node (goal 2.2)', starts.get('gains')!.cpuSeconds / bare);
}

/** The recordings, and the same as fewer settings, fewer taps, and one long file. */
function prepare(): void {
  if (!existsSync(join(session, 'truth.json'))) {
    rmSync(session, { recursive: true, force: true });
    console.log('making the recordings (500 MB, a minute or two) ...');
    run(process.execPath, [main, 'simulate', join(import.meta.dirname, 'scenario.yaml'), '--out', session]);
  }
  writeFileSync(trackFile, JSON.stringify(fullTrack));
  const files = readdirSync(session)
    .filter((name) => name.startsWith('setting-'))
    .sort((a, b) => settingIn(a) - settingIn(b));
  const taps = JSON.parse(readFileSync(join(session, 'truth.json'), 'utf8')).scenario.taps as {
    id: string;
  }[];
  const ids = taps.map(({ id }) => id);
  const half = ids.map((id, i) => (i < ids.length / 2 ? id : '-'));
  const places = files.map((file) => ({ file: `../session/${file}`, settings: settingIn(file) }));
  writeSession('half-settings', { channels: ids, recordings: places.filter((_, i) => i % 2 === 1) });
  writeSession('half-taps', { channels: half, recordings: places });
  for (const count of [5, 10]) {
    const all = files.slice(-count);
    writeSession(`long-${count}`, {
      channels: ids,
      recordings: [{ file: 'all.wav', settings: all.map(settingIn).join(',') }],
    });
    joinRecordings({
      from: all.map((file) => join(session, file)),
      to: join(out, `long-${count}`, 'all.wav'),
    });
  }
}

function settingIn(file: string): number {
  return Number(/\d+/.exec(file)![0]);
}

function writeSession(name: string, content: object): void {
  mkdirSync(join(out, name), { recursive: true });
  writeFileSync(join(out, name, 'session.json'), JSON.stringify(content));
}

function takeTurns(work: Record<string, () => Usage>, runs: number): Map<string, Usage> {
  const all = new Map<string, Usage[]>(Object.keys(work).map((name) => [name, []]));
  for (let i = 0; i < runs; i++) for (const [name, job] of Object.entries(work)) all.get(name)!.push(job());
  return new Map(
    [...all].map(([name, usages]) => {
      const median = (key: keyof Usage) => usages.map((one) => one[key]).sort((a, b) => a - b)[runs >> 1];
      return [
        name,
        {
          wallSeconds: median('wallSeconds'),
          cpuSeconds: median('cpuSeconds'),
          peakMegabytes: median('peakMegabytes'),
        },
      ];
    }),
  );
}

function analyse(target: string, { oneProcessor = false } = {}): Usage {
  const args = [main, 'analyse', target, '--out', join(out, 'report'), '--force', '--quiet'];
  return used(args, oneProcessor ? ['taskset', '-c', '0'] : []);
}

function used(args: readonly string[], before: readonly string[] = []): Usage {
  const [command, ...rest] = [...before, process.execPath, ...reportUsage, ...args];
  execFileSync(command, rest, { stdio: ['ignore', 'ignore', 'inherit'], env: withUsageFile() });
  return JSON.parse(readFileSync(usageFile, 'utf8'));
}

function withUsageFile(): NodeJS.ProcessEnv {
  return { ...process.env, STEPTONE_BENCH_USAGE: usageFile };
}

function run(command: string, args: readonly string[]): string {
  return execFileSync(command, args, { encoding: 'utf8', cwd: root, stdio: ['ignore', 'pipe', 'inherit'] });
}

function has(command: string, args: readonly string[] = ['--version']): boolean {
  return spawnSync(command, args).status === 0;
}

function ratio(what: string, value: number): void {
  console.log(`${what.padEnd(56)} ${value.toFixed(2)}`);
}
