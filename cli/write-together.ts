import { closeSync, fsyncSync, openSync, rmdirSync, rmSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { cannotWrite, checkNames, checkTargets, type Targets } from './check-targets.ts';
import { holdSignals } from './hold-signals.ts';
import { makeFolders } from './make-folders.ts';
import { makeStage, type Stage, swapFiles } from './swap-files.ts';

/** Of a file: whole, or in pieces that are made while it is written. */
type FileContent = string | Uint8Array | Iterable<string>;

/** Files of one folder that are written one by one and take their places together. */
interface FileSet {
  /** Writes one of the files beside its place. */
  add(name: string, content: FileContent): void;
  /** All files that were added take their places. */
  finish(): void;
  /** Removes what was written; nothing where the files have their places. */
  abandon(): void;
}

/**
 * Writes several files of one folder all or none, even where the process is killed.
 *
 * @throws SteptoneError as `checkTargets` does, 'cannot-write' where the system refuses
 */
export function writeTogether({
  files,
  ...targets
}: Omit<Targets, 'names'> & { files: Readonly<Record<string, FileContent>> }): void {
  const set = beginTogether({ ...targets, names: Object.keys(files) });
  try {
    for (const name of Object.keys(files)) set.add(name, files[name]);
    set.finish();
  } finally {
    set.abandon();
  }
}

/** The same for files that are made one after the other, so that not all of them have to be held in memory. */
export function beginTogether(targets: Targets): FileSet {
  const { folder, names } = targets;
  checkTargets(targets);
  let stage: Stage | null = null;
  let firstMade: string | undefined;
  const undo = () => {
    if (stage !== null) rmSync(stage.all, { recursive: true, force: true });
    removeEmpty({ from: dirname(folder), to: firstMade });
    stage = null;
  };
  const letGo = holdSignals(undo);
  const written = (work: () => void, path: string) => {
    try {
      work();
    } catch (error) {
      throw cannotWrite(path, error);
    }
  };
  return {
    add(name, content) {
      written(
        () => {
          if (stage === null) {
            firstMade = makeFolders(dirname(folder));
            stage = makeStage(folder);
          }
          writeWhole(join(stage.files, name), content);
        },
        join(folder, name),
      );
    },
    finish() {
      written(() => {
        if (stage !== null) swapFiles(stage, { folder, names, checkAgain: () => checkNames(targets) });
        stage = null;
        firstMade = undefined;
      }, folder);
    },
    abandon() {
      undo();
      letGo();
    },
  };
}

function writeWhole(path: string, content: FileContent): void {
  const descriptor = openSync(path, 'wx');
  try {
    for (const piece of typeof content === 'string' || content instanceof Uint8Array ? [content] : content)
      writeAll(descriptor, typeof piece === 'string' ? Buffer.from(piece) : piece);
    fsyncSync(descriptor); // a stick that is pulled out early must not keep a name without its content
  } finally {
    closeSync(descriptor);
  }
}

function writeAll(descriptor: number, bytes: Uint8Array): void {
  for (let done = 0; done < bytes.length; ) done += writeSync(descriptor, bytes, done);
}

/** Folders that were made for the work, where it came to nothing. */
function removeEmpty({ from, to }: { from: string; to: string | undefined }): void {
  if (to === undefined) return;
  try {
    for (let at = from; at.length >= to.length; at = dirname(at)) rmdirSync(at);
  } catch {
    // Others have put something there.
  }
}
