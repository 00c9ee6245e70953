import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const folder = resolve(import.meta.dirname, '../../../src/dsp/kernels');
const source = join(folder, 'source');

/** Stack for some local variables: no kernel calls another one but inlined. */
const FLAGS = [
  '--target=wasm32',
  '-O3',
  '-msimd128',
  '-mbulk-memory',
  '-nostdlib',
  '-Wall',
  '-Wextra',
  '-Werror',
  '-Wl,--no-entry,--import-memory,--export=__heap_base,--strip-all,-z,stack-size=4096',
];

/** The bytes that clang and lld make of `source/*.c`. */
export function compileKernels(): Buffer {
  const out = mkdtempSync(join(tmpdir(), 'steptone-kernels-'));
  try {
    const files = readdirSync(source).filter((name) => name.endsWith('.c'));
    execFileSync('clang', [...FLAGS, ...files.sort(), '-o', join(out, 'kernels.wasm')], { cwd: source });
    return readFileSync(join(out, 'kernels.wasm'));
  } finally {
    rmSync(out, { recursive: true });
  }
}

/** First line of what the compiler says of itself. */
export function compilerVersion(): string {
  return execFileSync('clang', ['--version'], { encoding: 'utf8' }).split('\n')[0];
}

/** `npm run kernels`. */
if (process.argv[1] === import.meta.filename)
  writeFileSync(
    join(folder, 'compiled.ts'),
    [
      '/** Made by `npm run kernels` from `source/*.c`; another version of the compiler may give other bytes. */',
      `export const compiler = '${compilerVersion()}';`,
      `export const bytesBase64 =\n  '${compileKernels().toString('base64')}';`,
      '',
    ].join('\n'),
  );
