import {
  BlobReader,
  BlobWriter,
  configure,
  ZipReader,
  ZipWriter,
} from '@zip.js/zip.js/lib/zip-core-native.js';

// Its workers would be fetched; packing nothing, it is quick enough without.
configure({ useWebWorkers: false });

/** The earliest that a zip can state: the same job is the same file. */
const NO_DATE = new Date(1980, 0, 1);

/** A job as one file: every file of it as it is, since sound hardly shrinks. */
export async function zipOf(files: ReadonlyMap<string, Blob>): Promise<Blob> {
  const zip = new ZipWriter(new BlobWriter('application/zip'), { level: 0, lastModDate: NO_DATE });
  for (const [name, blob] of files) await zip.add(name, new BlobReader(blob));
  return zip.close();
}

/** The files in a zip, by name. @throws Error where it is none, or broken */
export async function unzipped(zip: Blob): Promise<Map<string, Blob>> {
  const reader = new ZipReader(new BlobReader(zip));
  const files = new Map<string, Blob>();
  for (const entry of await reader.getEntries()) {
    if (entry.directory) continue;
    files.set(entry.filename, await entry.getData(new BlobWriter(), { checkSignature: true }));
  }
  await reader.close();
  return files;
}
