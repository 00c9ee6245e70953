import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
let folder: string;
let installed: string;

/** As an installation lays it out: the unpacked package among the packages that it depends on, and a link to its command. */
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-package-'));
  const packed = execFileSync('npm', ['pack', '--ignore-scripts', '--json', '--pack-destination', folder], {
    cwd: root,
  });
  const [{ filename }] = JSON.parse(packed.toString());
  execFileSync('tar', ['-xzf', join(folder, filename), '-C', folder]);
  installed = join(folder, 'package');
  const { dependencies, bin } = JSON.parse(readFileSync(join(installed, 'package.json'), 'utf8'));
  mkdirSync(join(installed, 'node_modules'));
  for (const name of Object.keys(dependencies)) {
    symlinkSync(join(root, 'node_modules', name), join(installed, 'node_modules', name));
  }
  mkdirSync(join(folder, 'bin'));
  symlinkSync(join(installed, bin.steptone), join(folder, 'bin', 'steptone'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('the packed command, unpacked elsewhere', () => {
  it('It starts through its link and shows its help.', () => {
    expect(run(['--help'])).toContain('Example:');
  });

  it('It finds its version and its own files.', () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    expect(run(['--version']).trim()).toBe(version);
    expect(JSON.parse(run(['schema', 'results'])).title).toContain('results');
    expect(readFileSync(join(installed, 'report-template', 'page.html'), 'utf8')).toContain('<html');
  });

  it('It holds no tests, no sources and no recordings.', () => {
    const names = execFileSync('find', [installed, '-type', 'f'], { encoding: 'utf8' }).trim().split('\n');
    expect(names.filter((name) => /\.wav$|\.test\.|(?<!\.d)\.ts$/.test(name))).toEqual([]);
  });
});

function run(args: readonly string[]): string {
  return execFileSync(process.execPath, [join(folder, 'bin', 'steptone'), ...args], {
    encoding: 'utf8',
    cwd: folder,
    maxBuffer: 2 ** 26,
  });
}
