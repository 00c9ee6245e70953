import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Two engines may differ in the last digits of a logarithm or a sine; of small differences, by as much as of what differs. */
const SAME = 1e-9;

export const folder = mkdtempSync(join(tmpdir(), 'steptone-job-'));

export function textsIn(place: string): Record<string, string> {
  return Object.fromEntries(
    readdirSync(place).map((name) => [name, readFileSync(join(place, name), 'utf8')]),
  );
}

export function digestsIn(place: string): Record<string, string> {
  return Object.fromEntries(
    readdirSync(place).map((name) => [name, digestOf(readFileSync(join(place, name)))]),
  );
}

export function digestOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}

/** Digests of the files in a zip, as another program unpacks it. */
export function unzip(zip: Uint8Array, name: string): Record<string, string> {
  const into = join(folder, name);
  writeFileSync(`${into}.zip`, zip);
  execFileSync('/usr/bin/python3', ['-m', 'zipfile', '-e', `${into}.zip`, into]);
  return digestsIn(into);
}

/** Where two documents differ by more than the last digits of their numbers. */
export function differences(one: unknown, other: unknown, path = ''): string[] {
  if (typeof one === 'number' && typeof other === 'number')
    return Math.abs(one - other) <= SAME * Math.max(1, Math.abs(one), Math.abs(other))
      ? []
      : [`${path}: ${one} and ${other}`];
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null)
    return one === other ? [] : [`${path}: ${String(one)} and ${String(other)}`];
  const names = new Set([...Object.keys(one), ...Object.keys(other)]);
  return [...names].flatMap((name) =>
    differences(
      (one as Record<string, unknown>)[name],
      (other as Record<string, unknown>)[name],
      `${path}.${name}`,
    ),
  );
}
