import { closeSync, constants, existsSync, fstatSync, openSync, readSync, statSync } from 'node:fs';
import type { ByteSource } from '../src/audio/byte-source.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { nearName } from './near-name.ts';
import { systemReason } from './system-reason.ts';

/**
 * A file as bytes that can be read in any order. Stays open until `close`.
 *
 * @throws SteptoneError 'file-missing' where there is none, it is a folder, a pipe or a device, it may not be read, or a
 *   card is pulled out
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
        throw fileMissing(path, `a failure to read it (${systemReason(error)})`);
      }
      return filled;
    },
    close: () => closeSync(descriptor),
  };
}

/** Opening a pipe waits for its other end for ever, and opening a device may set it going: they are looked at first. */
function openForReading(path: string): number {
  let descriptor: number;
  try {
    if (!statSync(path).isFile()) throw fileMissing(path, 'something that is not a file');
    descriptor = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0)); // Windows has no such flag
  } catch (error) {
    throw error instanceof SteptoneError ? error : fileMissing(path, systemReason(error));
  }
  if (fstatSync(descriptor).isFile()) return descriptor;
  closeSync(descriptor);
  throw fileMissing(path, 'something that is not a file');
}

function fileMissing(path: string, found: string): SteptoneError {
  const near = existsSync(path) ? undefined : nearName(path);
  return new SteptoneError({
    code: 'file-missing',
    expected: 'a file that Steptone can read',
    found,
    where: path || 'an empty name',
    likelyCause: 'a slip in the name, or the card is not plugged in',
    nextStep: near === undefined ? 'check the name and the folder' : `write '${near}' if you meant that`,
  });
}
