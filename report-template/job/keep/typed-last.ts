/**
 * Texts as they are typed, until the database has kept them: it answers later, and takes back what a page that closes had asked of
 * it. This store takes them at once. Where a browser has none, nothing is noted.
 */
const PREFIX = 'steptone-typed ';

export function note(name: string, text: string): void {
  use((store) => store.setItem(PREFIX + name, text));
}

export function forget(name: string): void {
  use((store) => store.removeItem(PREFIX + name));
}

export function forgetAll(): void {
  for (const [name] of all()) forget(name);
}

export function all(): [name: string, text: string][] {
  const found: [string, string][] = [];
  use((store) => {
    for (let i = 0; i < store.length; i++) {
      const key = store.key(i)!;
      if (key.startsWith(PREFIX)) found.push([key.slice(PREFIX.length), store.getItem(key)!]);
    }
  });
  return found;
}

function use(work: (store: Storage) => void): void {
  try {
    work(localStorage);
  } catch {
    // Full, or forbidden: the database alone keeps it then.
  }
}
