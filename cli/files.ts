import {
  closeSync,
  existsSync,
  fstatSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { dirname } from 'node:path';
import type { ByteSource } from '../src/audio/byte-source.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { holdSignals } from './hold-signals.ts';
import { nearName } from './near-name.ts';

/**
 * A file as bytes that can be read in any order. Stays open until `close`.
 *
 * @throws SteptoneError 'file-missing' where there is none, it is a folder, it may not be read, or a card is pulled out
 */
export function fileSource(path: string): ByteSource & { close(): void } {
  const descriptor = openForReading(path);
  return {
    name: path,
    byteLength: fstatSync(descriptor).size,
    read(offset, target) {
      let filled = 0;
      try {
        while (filled < target.length) {
          const got = readSync(descriptor, target, filled, target.length - filled, offset + filled);
          if (got === 0) break;
          filled += got;
        }
      } catch (error) {
        throw fileMissing(path, `a failure to read it (${reasonOf(error)})`);
      }
      return filled;
    },
    close: () => closeSync(descriptor),
  };
}

/**
 * Writes a file whole or not at all: under another name beside it first, then renamed. Missing folders are made.
 *
 * @throws SteptoneError 'would-overwrite' where the file exists and `force` is not given, 'cannot-write' where the
 *   system refuses
 */
export function writeNew(path: string, data: Uint8Array | string, options: { force?: boolean } = {}): void {
  refuseToOverwrite([path], options);
  const unfinished = `${path}.${process.pid}.unfinished`;
  const letGo = holdSignals();
  try {
    mkdirSync(dirname(path), { recursive: true });
    const descriptor = openSync(unfinished, 'w');
    try {
      writeFileSync(descriptor, data);
      fsyncSync(descriptor); // a stick that is pulled out early must not keep a name without its content
    } finally {
      closeSync(descriptor);
    }
    renameSync(unfinished, path);
  } catch (error) {
    removeQuietly(unfinished);
    throw cannotWrite(path, error);
  } finally {
    letGo();
  }
}

/** For commands that write several files: refuses before the first is written. Without `force` there is no such option. */
export function refuseToOverwrite(paths: readonly string[], { force }: { force?: boolean }): void {
  const existing = paths.filter((path) => existsSync(path));
  if (force === true || existing.length === 0) return;
  const others = existing.length > 1 ? ` and ${existing.length - 1} more` : '';
  throw new SteptoneError({
    code: 'would-overwrite',
    expected: 'a name that is not in use',
    found: `a file that is there already${others}`,
    where: existing[0],
    nextStep:
      force === undefined
        ? 'choose another folder, or move it away'
        : 'choose another folder, or add --force to replace it',
  });
}

function openForReading(path: string): number {
  let descriptor: number;
  try {
    descriptor = openSync(path, 'r');
  } catch (error) {
    throw fileMissing(
      path,
      reasonOf(error) === 'ENOENT' ? 'nothing there' : `a refusal by the system (${reasonOf(error)})`,
    );
  }
  if (fstatSync(descriptor).isFile()) return descriptor;
  closeSync(descriptor);
  throw fileMissing(path, 'something that is not a file');
}

function fileMissing(path: string, found: string): SteptoneError {
  const near = existsSync(path) ? undefined : nearName(path);
  return new SteptoneError({
    code: 'file-missing',
    expected: 'a file that can be read',
    found,
    where: path,
    likelyCause: 'a slip in the name, or a card that is not plugged in',
    nextStep: near === undefined ? 'check the name and the folder' : `write '${near}' if that was meant`,
  });
}

function cannotWrite(path: string, error: unknown): SteptoneError {
  return new SteptoneError({
    code: 'cannot-write',
    expected: 'a place that can be written to',
    found: `a refusal by the system (${reasonOf(error)})`,
    where: path,
    likelyCause:
      reasonOf(error) === 'ENOSPC' ? 'the disk or stick is full' : 'a write-protected folder or stick',
    nextStep: 'choose another folder',
  });
}

function reasonOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : String(error);
}

function removeQuietly(path: string): void {
  try {
    rmSync(path, { force: true });
  } catch {
    // What stopped the writing may stop the removal too; the first error is the one to tell.
  }
}
