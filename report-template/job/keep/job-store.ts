/**
 * The files of a job as the browser keeps them, by name, and what the page notes beside them. A page on the disk has no
 * folder of its own in every browser, but a database, which takes files of any size.
 */
export interface JobStore {
  /** Everything that was kept. The files' bytes stay where they are until they are read. */
  load(): Promise<{ files: Map<string, Blob>; notes: Map<string, unknown> }>;
  /** Kept together or not at all. @throws StorageFull where the browser has no room */
  keepFiles(files: ReadonlyMap<string, Blob>): Promise<void>;
  dropFiles(names: readonly string[]): Promise<void>;
  note(name: string, value: unknown): Promise<void>;
  clear(): Promise<void>;
}

/** The browser has no room left for this page, or the disk has none. */
class StorageFull extends Error {
  override name = 'StorageFull';
}

const DATABASE = 'steptone-job';
const FILES = 'files';
const NOTES = 'notes';

export async function openJobStore(): Promise<JobStore> {
  const database = await opened();
  const change = (store: string, work: (into: IDBObjectStore) => void) =>
    new Promise<void>((done, fail) => {
      const transaction = database.transaction(store, 'readwrite', { durability: 'strict' });
      transaction.oncomplete = () => done();
      transaction.onabort = () => fail(told(transaction.error));
      transaction.onerror = () => fail(told(transaction.error));
      try {
        work(transaction.objectStore(store));
        // Now, not when its requests have answered: a page that closes would take back what was typed last.
        transaction.commit();
      } catch (error) {
        fail(told(error instanceof DOMException ? error : null));
      }
    });
  return {
    async load() {
      const files = await entries<Blob>(database, FILES);
      return { files, notes: await entries<unknown>(database, NOTES) };
    },
    keepFiles: (files) =>
      change(FILES, (into) => {
        for (const [name, blob] of files) into.put(blob, name);
      }),
    dropFiles: (names) =>
      change(FILES, (into) => {
        for (const name of names) into.delete(name);
      }),
    note: (name, value) => change(NOTES, (into) => void into.put(value, name)),
    async clear() {
      await change(FILES, (into) => void into.clear());
      await change(NOTES, (into) => void into.clear());
    },
  };
}

function opened(): Promise<IDBDatabase> {
  return new Promise((done, fail) => {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(FILES);
      request.result.createObjectStore(NOTES);
    };
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(told(request.error));
  });
}

function entries<Value>(database: IDBDatabase, store: string): Promise<Map<string, Value>> {
  return new Promise((done, fail) => {
    const found = new Map<string, Value>();
    const request = database.transaction(store).objectStore(store).openCursor();
    request.onerror = () => fail(told(request.error));
    request.onsuccess = () => {
      const cursor = request.result;
      if (cursor === null) return done(found);
      found.set(String(cursor.key), cursor.value);
      cursor.continue();
    };
  });
}

function told(error: DOMException | null): Error {
  return error?.name === 'QuotaExceededError'
    ? new StorageFull(error.message)
    : (error ?? new Error('aborted'));
}
