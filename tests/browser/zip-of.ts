import { execFileSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const SCRIPT =
  'import json, sys, zipfile\nwith zipfile.ZipFile(sys.argv[1], "w", zipfile.ZIP_DEFLATED) as z:\n' +
  ' for name, path in json.load(open(sys.argv[2])).items(): z.write(path, name)\n';

/** A zip as another program makes it: files of the disk under their names in it. Answers where it is. */
export function zipOf(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-zip-'));
  const zip = join(folder, 'job.zip');
  writeFileSync(join(folder, 'files.json'), JSON.stringify(files));
  execFileSync('/usr/bin/python3', ['-c', SCRIPT, zip, join(folder, 'files.json')]);
  return zip;
}

/** The folder into which another program unpacked a zip. */
export function unzippedBy(zip: Uint8Array): string {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-zip-'));
  const file = join(folder, 'made.zip');
  writeFileSync(file, zip);
  execFileSync('/usr/bin/python3', ['-m', 'zipfile', '-e', file, join(folder, 'made')]);
  return join(folder, 'made');
}
