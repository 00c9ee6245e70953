import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';
import { fileSource } from '../../cli/files.ts';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';

/** Prints findings and recommendations of the sessions in the folders given; `run.ts` bundles it with one constant changed. */
const answers = process.argv.slice(2).map((folder) => {
  const input = parse(readFileSync(join(folder, 'session.yaml'), 'utf8'));
  const session = resolveSession(input, { folderFiles: readdirSync(folder) });
  const open = (file: string) => openWav({ ...fileSource(join(folder, file)), name: file });
  const { findings, recommendations } = analyse({ session, open, toolVersion: 'thresholds', inputs: [] });
  return [...findings, ...recommendations];
});
process.stdout.write(JSON.stringify(answers.flat()));
