/**
 * Files under names in one spelling, and the sessions that name them. Some systems write an accented letter as two signs, others as one (Unicode Standard Annex 15): a session from the one has to
 * find the recordings from the other.
 */
export async function composed(files: ReadonlyMap<string, Blob>): Promise<Map<string, Blob>> {
  const found = new Map<string, Blob>();
  for (const [name, blob] of files) {
    const text = /\.ya?ml$/i.test(name) ? await blob.text() : '';
    const isComposed = text === text.normalize('NFC');
    found.set(name.normalize('NFC'), isComposed ? blob : new Blob([text.normalize('NFC')]));
  }
  return found;
}
