import { isWide } from '../../../src/commands/is-wide.ts';
import type { LoadedSession } from '../../../src/commands/load-session.ts';
import { type OpenRecordings, openRecordings } from '../../../src/commands/open-recordings.ts';
import { type FileAnswer, printsIn, readingsIn, readOne } from '../../../src/commands/read-one.ts';
import type { ReadInThreads } from '../../../src/commands/shell.ts';
import { measureRecorder, type RecorderKnowledge } from '../../../src/measure/recorder/measure-recorder.ts';
import type { Session } from '../../../src/model/session.ts';
import { blobFolder } from './blob-folder.ts';
import { nativeFingerprint, pageSha256 } from './page-sha256.ts';

/** A further worker compiles the code anew, which takes longer than it reads two or three files (`npm run bench`). */
const FEWEST_RECORDINGS = 4;
/** Each takes up to 250 MB; three threads and the page stay well below 1.5 GB. */
const MOST_HELPERS = 2;
/** As much of a file is held at once; a longer one is read piece by piece. */
const MOST_BYTES_AT_ONCE = 64e6;
/** One that is being read and one that waits: this thread hears of a helper between two files only. */
const FILES_AHEAD = 2;

/** What a helper is given first. */
export interface HelperWork {
  readonly help: {
    readonly session: Session;
    readonly files: ReadonlyMap<string, Blob>;
    readonly inside: string;
    readonly recorder: RecorderKnowledge;
  };
}

/**
 * Reads the recordings of a session in this worker and its helpers, file by file. Every file is read by itself, so the
 * results are those of one thread to the last bit.
 *
 * @returns undefined where recordings are very wide
 */
export async function readInWorkers(of: {
  loaded: LoadedSession;
  recordings: OpenRecordings;
  files: ReadonlyMap<string, Blob>;
  inside: string;
  /** Of this worker, which its helpers run too. */
  script: Blob;
  progress: (done: number, total: number, what: string) => void;
}): Promise<ReadInThreads | undefined> {
  const { loaded, recordings, files, inside, script, progress } = of;
  const { session } = loaded;
  const waiting = session.recordings.filter(({ kind }) => kind === 'takes').map(({ file }) => file);
  const total = waiting.length;
  const helperCount = Math.min(
    MOST_HELPERS,
    navigator.hardwareConcurrency - 1,
    Math.floor(total / FEWEST_RECORDINGS),
  );
  if (total === 0 || isWide(waiting[0], recordings)) return undefined;
  const address = URL.createObjectURL(script);
  const helpers = Array.from({ length: helperCount }, () => new Worker(address));
  try {
    const recorder = measureRecorder({ session, open: recordings.open });
    const answers = new Map<string, FileAnswer>();
    const take = (answer: FileAnswer) => {
      progress(answers.size, total, answer.file);
      answers.set(answer.file, answer);
    };
    const work: HelperWork = { help: { session, files, inside, recorder } };
    const helped = helpers.map((helper) => answersOf({ helper, work, waiting, take }));
    for (let file = waiting.shift(); file !== undefined; file = waiting.shift()) {
      take(await readHere(file, { session, files, inside, recorder }));
      await new Promise((done) => setTimeout(done));
    }
    await Promise.all(helped);
    return { recorder, readings: (file) => readingsIn(answers.get(file)), fingerprints: printsIn(answers) };
  } finally {
    for (const helper of helpers) helper.terminate();
    URL.revokeObjectURL(address);
  }
}

/** A helper's side: answers what each file holds that it is sent. */
export function helpReading(work: HelperWork['help']): void {
  self.onmessage = async ({ data: file }: MessageEvent<string>) => {
    self.postMessage(await readHere(file, work));
  };
}

function answersOf({
  helper,
  work,
  waiting,
  take,
}: {
  helper: Worker;
  work: HelperWork;
  waiting: string[];
  take: (answer: FileAnswer) => void;
}): Promise<void> {
  let given = 0;
  return new Promise((done, fail) => {
    const giveNext = () => {
      const file = waiting.shift();
      if (file === undefined) return;
      given++;
      helper.postMessage(file);
    };
    helper.onmessage = ({ data }: MessageEvent<FileAnswer>) => {
      given--;
      take(data);
      giveNext();
      if (given === 0) done();
    };
    helper.onerror = ({ message }) => fail(new Error(message || 'a worker ended before its work was done'));
    helper.postMessage(work);
    for (let i = 0; i < FILES_AHEAD; i++) giveNext();
    if (given === 0) done();
  });
}

async function readHere(
  file: string,
  { session, files, inside, recorder }: HelperWork['help'],
): Promise<FileAnswer> {
  const bytes = await allBytes(files.get(inside === '' ? file : `${inside}/${file}`));
  const fingerprint = bytes === undefined ? undefined : await nativeFingerprint(file, bytes);
  const folder = blobFolder(files, inside, new Map(bytes === undefined ? [] : [[file, bytes]]));
  const recordings = openRecordings({ session, folder, documents: [] }, { sha256: pageSha256 });
  try {
    const answer = readOne({
      file,
      session,
      recordings,
      recorder,
      withFingerprint: fingerprint === undefined,
    });
    return fingerprint === undefined ? answer : { ...answer, fingerprint };
  } finally {
    recordings.close();
    if (bytes !== undefined) giveBack(bytes);
  }
}

/**
 * Sends them where nobody listens, which gives their memory back at once: otherwise the bytes of several recordings lie about
 * until the browser next clears up (in Firefox 0.3 GB).
 */
function giveBack({ buffer }: Uint8Array<ArrayBuffer>): void {
  const { port1, port2 } = new MessageChannel();
  port2.close();
  port1.postMessage(null, [buffer]);
  port1.close();
}

/** Asked for once, as every byte goes through two processes; undefined where they are too many, or cannot be read. */
async function allBytes(blob: Blob | undefined): Promise<Uint8Array<ArrayBuffer> | undefined> {
  if (blob === undefined || blob.size > MOST_BYTES_AT_ONCE) return undefined;
  try {
    return new Uint8Array(await blob.arrayBuffer());
  } catch {
    return undefined;
  }
}
