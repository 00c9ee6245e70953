import { execFileSync, spawnSync } from 'node:child_process';
import { describe, it } from 'vitest';

/** Programs from outside the project that serve as second opinions. Debian: sox, ffmpeg, ngspice, python3-scipy,
 * chromium, firefox-esr, poppler-utils, clang and lld; bsdutils, which is always there. */
const PROBES = {
  sox: ['sox', '--version'],
  ffmpeg: ['ffmpeg', '-version'],
  scipy: ['/usr/bin/python3', '-c', 'import scipy'],
  chromium: ['/usr/bin/chromium', '--version'],
  firefox: ['/usr/bin/firefox-esr', '--version'],
  pdftotext: ['pdftotext', '-v'],
  ngspice: ['ngspice', '--version'],
  clang: ['wasm-ld', '--version'],
  script: ['script', '--version'],
} as const;
export type OutsideProgram = keyof typeof PROBES;

const answers = new Map<OutsideProgram, boolean>();

export function outsideProgram(name: OutsideProgram): { available: boolean } {
  const known = answers.get(name);
  if (known !== undefined) return { available: known };
  let available = true;
  try {
    const [program, ...args] = PROBES[name];
    execFileSync(program, args, { stdio: 'ignore' });
  } catch {
    available = false;
  }
  answers.set(name, available);
  return { available };
}

/**
 * Runs a program to its end; `scipy` takes Python source as its first argument. Fails with what the program said.
 *
 * @returns what it wrote to standard output, or to standard error where the figures stand there (sox's stats)
 */
export function runOutside(
  name: OutsideProgram,
  args: readonly string[],
  { stream = 'stdout' }: { stream?: 'stdout' | 'stderr' } = {},
): string {
  const [program, ...before] = name === 'scipy' ? ['/usr/bin/python3', '-c'] : [PROBES[name][0]];
  const result = spawnSync(program, [...before, ...args], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
    maxBuffer: 1 << 26,
  });
  if (result.error) throw result.error;
  if (result.status !== 0) throw new Error(`${program} ended with ${result.status}: ${result.stderr}`);
  return result[stream];
}

/**
 * A group of tests that needs outside programs. Where one is absent the group is skipped by name; with
 * STEPTONE_REQUIRE_OUTSIDE_PROGRAMS set (as `.ci/run` does) it fails instead, so that it is never skipped silently there.
 */
export function describeWith(programs: readonly OutsideProgram[], title: string, tests: () => void): void {
  const absent = programs.filter((name) => !outsideProgram(name).available);
  if (absent.length === 0) {
    describe(`${title} [${programs.join(', ')}]`, tests);
  } else if (process.env.STEPTONE_REQUIRE_OUTSIDE_PROGRAMS) {
    it(`${title}: needs ${absent.join(', ')}`, () => {
      throw new Error(`not installed here: ${absent.join(', ')}`);
    });
  } else {
    describe.skip(`${title} (SKIPPED: ${absent.join(', ')} not installed)`, tests);
  }
}
