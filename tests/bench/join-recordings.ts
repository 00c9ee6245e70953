import { closeSync, existsSync, openSync, readFileSync, writeSync } from 'node:fs';

/** Plain PCM header of the simulator's files; its sound follows. */
const HEADER_BYTES = 44;

/** One file with the sound of several of the simulator's recordings, one after the other; made once. */
export function joinRecordings({ from, to }: { from: readonly string[]; to: string }): void {
  if (existsSync(to)) return;
  const parts = from.map((file) => readFileSync(file).subarray(HEADER_BYTES));
  const bytes = parts.reduce((sum, part) => sum + part.length, 0);
  const header = readFileSync(from[0]).subarray(0, HEADER_BYTES);
  if (header.toString('latin1', 36, 40) !== 'data') throw new Error(`${from[0]}: no plain header`);
  header.writeUInt32LE(bytes + HEADER_BYTES - 8, 4);
  header.writeUInt32LE(bytes, 40);
  const descriptor = openSync(to, 'w');
  for (const part of [header, ...parts]) writeSync(descriptor, part);
  closeSync(descriptor);
}
