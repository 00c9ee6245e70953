import { newSessionText, SESSION_FILE } from '../../../src/commands/new-job.ts';
import { looksLikeSession } from '../../../src/model/session-file.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { REPORT_FILE } from '../../../src/report/page-files.ts';
import { OUT } from './folders.ts';
import { type JobStore, openJobStore } from './job-store.ts';
import { memoryStore } from './memory-store.ts';
import { printOf } from './print-of.ts';
import * as typed from './typed-last.ts';

const EQUIPMENT_FILE = 'equipment.yaml';
const SOUND = /\.(wav|wave|bwf|rf64)$/i;
const USUAL_SESSIONS = ['session.yaml', 'session.yml', 'session.json'];
/** A session of thousands of recordings is below it. */
const MOST_TEXT_BYTES = 4 << 20;

/**
 * The job that the page works on: a folder of files as the command line would have it, kept in the browser, and what was
 * typed and done. Every change is kept at once.
 */
export class Job {
  readonly files: Map<string, Blob>;
  readonly notes: Map<string, unknown>;
  /** Session and equipment files of the job and of the folders in it, as text. */
  readonly texts = new Map<string, string>();
  private readonly store: JobStore;
  private readonly listeners = new Set<() => void>();
  private last: Promise<unknown> = Promise.resolve();
  /** What went wrong while keeping, for the person. */
  trouble: Error | null = null;
  /** Why the browser keeps nothing; null where it does. */
  readonly notKept: string | null;

  private constructor(
    store: JobStore,
    of: { files: Map<string, Blob>; notes: Map<string, unknown>; notKept: string | null },
  ) {
    this.store = store;
    this.notKept = of.notKept;
    this.files = of.files;
    this.notes = of.notes;
  }

  static async open(): Promise<Job> {
    const { store, notKept } = await openJobStore().then(
      (store) => ({ store, notKept: null }),
      (error: unknown) => ({
        store: memoryStore(),
        notKept: error instanceof Error ? error.message : String(error),
      }),
    );
    const { files, notes } = await store.load();
    const job = new Job(store, { files, notes, notKept });
    await job.readTexts([...files.keys()]);
    for (const [name, text] of typed.all()) job.write(name, text);
    return job;
  }

  onChange(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  /** Keeps files together or not at all; answers whether they are kept. */
  put(files: ReadonlyMap<string, Blob>): Promise<boolean> {
    return this.inTurn(async () => {
      if (!(await this.keep(files))) return false;
      await this.notePrints(files);
      this.noteAgain([...files.keys()], false);
      for (const [name, blob] of files) {
        this.files.set(name, blob);
        typed.forget(name); // what comes later counts, also where the typed one could not be kept
      }
      await this.readTexts([...files.keys()]);
      this.changed();
      return true;
    });
  }

  /** What a command made, into a folder of the job. */
  putOut(folder: string, files: Readonly<Record<string, string | Uint8Array>>): Promise<boolean> {
    return this.put(
      new Map(
        Object.entries(files).map(([name, content]) => [
          `${folder}/${name}`,
          new Blob([content as string | Uint8Array<ArrayBuffer>]),
        ]),
      ),
    );
  }

  drop(names: readonly string[]): Promise<void> {
    return this.inTurn(async () => {
      if (!(await this.kept(() => this.store.dropFiles(names)))) return;
      for (const name of names) {
        this.files.delete(name);
        typed.forget(name);
        this.texts.delete(name);
      }
      this.changed();
    });
  }

  /** A text as it is typed: shown at once, kept meanwhile. */
  write(name: string, text: string): void {
    this.texts.set(name, text);
    const blob = new Blob([text]);
    this.files.set(name, blob);
    this.changed();
    typed.note(name, text);
    void this.keep(new Map([[name, blob]])).then((isKept) => {
      if (isKept && this.texts.get(name) === text) typed.forget(name);
    });
  }

  note(name: string, value: unknown): void {
    this.notes.set(name, value);
    this.changed();
    this.store.note(name, value).catch((error: unknown) => {
      this.trouble = error instanceof Error ? error : new Error(String(error));
      this.changed();
    });
  }

  noted<Value>(name: string): Value | undefined {
    return this.notes.get(name) as Value | undefined;
  }

  clear(): Promise<void> {
    return this.inTurn(async () => {
      if (!(await this.kept(() => this.store.clear()))) return;
      typed.forgetAll();
      this.files.clear();
      this.notes.clear();
      this.texts.clear();
      this.trouble = null;
      this.changed();
    });
  }

  /** Whether a take is there, and good as far as anybody looked. */
  hasTake(name: string): boolean {
    return this.files.has(name) && !this.toRecordAgain().includes(name);
  }

  /** Notes of takes whether they have to be recorded again. */
  noteAgain(names: readonly string[], again: boolean): void {
    const others = this.toRecordAgain().filter((name) => !names.includes(name));
    const now = again ? [...others, ...names] : others;
    if (now.length !== this.toRecordAgain().length) this.note('to record again', now);
  }

  private toRecordAgain(): readonly string[] {
    return this.noted<string[]>('to record again') ?? [];
  }

  /** The session file of a folder of the job; null where there is none yet. */
  sessionFile(inside = ''): string | null {
    const names = [...this.texts.keys()].filter((name) => folderOf(name) === inside);
    const usual = USUAL_SESSIONS.map((name) => (inside === '' ? name : `${inside}/${name}`)).find((name) =>
      names.includes(name),
    );
    return usual ?? names.find((name) => looksLikeSession(this.texts.get(name)!)) ?? null;
  }

  /** Begins the session of a folder; answers the name of its file. */
  beginSession(session: SessionInput, inside = ''): string {
    const name = inside === '' ? SESSION_FILE : `${inside}/${SESSION_FILE}`;
    this.write(name, newSessionText(session));
    return name;
  }

  equipmentFile(named: string | undefined): string {
    return named ?? EQUIPMENT_FILE;
  }

  /** Recordings of a folder, in order. */
  recordings(inside = ''): string[] {
    return [...this.files.keys()]
      .filter((name) => folderOf(name) === inside && SOUND.test(name))
      .sort((a, b) => a.localeCompare(b, 'en', { numeric: true }));
  }

  /** Changes whenever something does that check and analysis depend on. */
  stamp(inside = ''): string {
    const texts = [...this.texts].filter(([name]) => folderOf(name) === inside).sort();
    const prints = this.noted<Record<string, string>>('prints');
    // What was kept by an older page has no print.
    const sounds = this.recordings(inside).map((name) => [
      name,
      prints?.[name] ?? this.files.get(name)!.size,
    ]);
    return JSON.stringify([texts, sounds]);
  }

  hasReport(): boolean {
    return this.files.has(`${OUT}/${REPORT_FILE}`);
  }

  /** One change after the other: files that are dropped while a job is cleared belong to the new one. */
  private inTurn<T>(change: () => Promise<T>): Promise<T> {
    const turn = this.last.then(change);
    this.last = turn.catch(() => undefined);
    return turn;
  }

  private keep(files: ReadonlyMap<string, Blob>): Promise<boolean> {
    return this.kept(() => this.store.keepFiles(files));
  }

  private async notePrints(files: ReadonlyMap<string, Blob>): Promise<void> {
    const sounds = [...files].filter(([name]) => SOUND.test(name));
    if (sounds.length === 0) return;
    const prints: Record<string, string> = { ...this.noted<Record<string, string>>('prints') };
    for (const [name, blob] of files)
      if (SOUND.test(name)) prints[name] = await printOf(blob).catch(() => '');
    this.note('prints', prints);
  }

  /** Answers whether a change is kept; what went wrong is shown. */
  private async kept(change: () => Promise<void>): Promise<boolean> {
    const before = this.trouble;
    try {
      await change();
      this.trouble = null;
    } catch (error) {
      this.trouble = error instanceof Error ? error : new Error(String(error));
    }
    if (this.trouble !== before) this.changed();
    return this.trouble === null;
  }

  private changed(): void {
    for (const listener of this.listeners) listener();
  }

  private async readTexts(names: readonly string[]): Promise<void> {
    for (const name of names) {
      const blob = this.files.get(name)!;
      const isText = /\.(ya?ml|json)$/i.test(name) && !name.includes(`${OUT}/`);
      if (isText && blob.size <= MOST_TEXT_BYTES) this.texts.set(name, await blob.text());
    }
  }
}

function folderOf(name: string): string {
  return name.includes('/') ? name.slice(0, name.lastIndexOf('/')) : '';
}

/** The name of a file of a folder of the job. */
export function pathIn(inside: string, file: string): string {
  return inside === '' ? file : `${inside}/${file}`;
}
