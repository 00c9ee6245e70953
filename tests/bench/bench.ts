import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { startChromium, startFirefox } from '../browser/job-page.ts';
import { LEVELS_HZ, levelsInResults, levelsPrinted, printErrors } from './accuracy-table.ts';
import { usedByPage } from './page-usage.ts';
import { benchSessions } from './sessions.ts';
import {
  has,
  type Job,
  printedBy,
  printRatio,
  printUsages,
  takeTurns,
  type Usage,
  usedByNode,
} from './usage.ts';

/**
 * `npm run bench -- 3`: what the analysis of a session of 8 taps and 10 settings takes (500 MB at 48 kHz and 24 bits, made
 * once), beside two scipy scripts that measure the same, how it grows, what a bay's noise adds, and what starting costs.
 * Medians of some runs that take turns; processor time (which other work disturbs least) and elapsed time stand apart.
 */
const RUNS = Number(process.argv[2] ?? 3);
const START_RUNS = 15;

type Scipy = Usage & { levels: [string, number, number[]][] };
type Floor = Usage & Record<'readSeconds' | 'decodeSeconds' | 'transformSeconds' | 'transforms', number>;

const root = resolve(import.meta.dirname, '../..');
const out = join(root, 'out', 'bench');
const main = join(root, 'dist/cli/main.js');
mkdirSync(out, { recursive: true });
const sessions = benchSessions({ out, main });
const analyse = (folder: string, before: readonly string[] = []): Usage =>
  usedByNode([main, 'analyse', folder, '--out', join(out, 'report'), '--force', '--quiet'], { out, before });
const scipy = (script: string) =>
  printedBy<Scipy>(
    '/usr/bin/python3',
    [join(import.meta.dirname, script), sessions.whole, sessions.trackFile],
    { OPENBLAS_NUM_THREADS: '1' },
  );
const hasScipy = has('/usr/bin/python3', ['-c', 'import scipy']);

againstScipy();
growth();
bay();
starting();
floorParts();
await onThePage();
process.exit(); // and with it the browsers that tests share

function againstScipy(): void {
  const jobs: Record<string, Job> = {
    'analyse, two threads': () => analyse(sessions.whole),
    ...(has('taskset')
      ? { 'analyse, one thread': () => analyse(sessions.whole, ['taskset', '-c', '0']) }
      : {}),
    ...(hasScipy
      ? {
          "an expert's scipy": () => scipy('scipy_expert.py'),
          'plain scipy': () => scipy('scipy_measure.py'),
        }
      : {}),
  };
  const used = takeTurns(jobs, RUNS);
  printUsages(used);
  const own = used.get('analyse, two threads')!;
  for (const name of ["an expert's scipy", 'plain scipy']) {
    const other = used.get(name);
    if (other === undefined) continue;
    printRatio(`analyse against ${name}, processor time (goal 0.95)`, own.cpuSeconds / other.cpuSeconds);
    printRatio(`analyse against ${name}, elapsed (goal 0.6)`, own.wallSeconds / other.wallSeconds);
  }
  analyse(sessions.whole);
  printErrors({
    folder: sessions.whole,
    hz: LEVELS_HZ,
    measured: {
      analyse: levelsInResults(join(out, 'report', 'results.json'), LEVELS_HZ),
      ...(hasScipy
        ? {
            "an expert's scipy": levelsPrinted(scipy('scipy_expert.py').levels),
            'plain scipy': levelsPrinted(scipy('scipy_measure.py').levels),
          }
        : {}),
    },
  });
}

/** The files hold all eight taps, whichever are measured: reading them is the same work for two. */
function growth(): void {
  console.log('\nover taps and settings');
  printUsages(
    takeTurns(
      Object.fromEntries([
        ...sessions.grid.map(({ taps, settings, folder }) => [
          `${taps} taps, ${settings} settings`,
          () => analyse(folder),
        ]),
        ['8 taps, 20 settings', () => analyse(sessions.twentySettings)],
        ['one file of 5 takes', () => analyse(sessions.longFile.five)],
        ['one file of 10 takes', () => analyse(sessions.longFile.ten)],
      ]),
      RUNS,
    ),
  );
}

function bay(): void {
  console.log('\na bay: three knocks, two voices and a prompt in each take of 8 taps at 4 settings');
  const used = takeTurns({ quiet: () => analyse(sessions.quiet), bay: () => analyse(sessions.bay) }, RUNS);
  printUsages(used);
  printRatio(
    'bay against quiet, processor time (goal 2)',
    used.get('bay')!.cpuSeconds / used.get('quiet')!.cpuSeconds,
  );
}

function starting(): void {
  console.log('\nstarting');
  const gains = ['gains', '--readings', '55=3.2,997=8.0', '--watts', '100', '--ohms', '4'];
  const used = takeTurns(
    {
      'bare node': () => usedByNode(['-e', '0'], { out }),
      '--help': () => usedByNode([main, '--help'], { out }),
      gains: () => usedByNode([main, ...gains], { out }),
      'check of three pair takes': () => usedByNode([main, 'check', sessions.pair], { out }),
    },
    START_RUNS,
  );
  printUsages(used);
  const bare = used.get('bare node')!.cpuSeconds;
  printRatio('--help against bare node, processor time (goal 1.5)', used.get('--help')!.cpuSeconds / bare);
  printRatio('gains against bare node, processor time (goal 2.2)', used.get('gains')!.cpuSeconds / bare);
}

/** The same session in a browser, with the command beside it. */
async function onThePage(): Promise<void> {
  console.log('\non the page, all processes of the browser together');
  for (const [name, start] of Object.entries({ chromium: startChromium, 'firefox-esr': startFirefox })) {
    if (!has(`/usr/bin/${name}`)) continue;
    const [page, command] = [await usedByPage(start, sessions.whole), analyse(sessions.whole)];
    printUsages(
      new Map([
        [name, page],
        ['the command beside it', command],
      ]),
    );
    printRatio('processor time (goal 1.3)', page.cpuSeconds / command.cpuSeconds);
    printRatio('elapsed (goal 1.3)', page.wallSeconds / command.wallSeconds);
    console.log(`the page stood still for ${page.stillSeconds.toFixed(2)} s at most`);
  }
}

function floorParts(): void {
  const floor = printedBy<Floor>(process.execPath, [
    '--import',
    'tsx',
    join(import.meta.dirname, 'floor.ts'),
    sessions.whole,
  ]);
  console.log(
    `\nparts, for information: reading ${floor.readSeconds.toFixed(2)} s, decoding ${floor.decodeSeconds.toFixed(2)} s, ${floor.transforms} transforms ${floor.transformSeconds.toFixed(2)} s of processor time; ${floor.peakMegabytes.toFixed(0)} MB`,
  );
}
