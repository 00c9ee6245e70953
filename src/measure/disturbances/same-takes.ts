import type { TakeFacts } from '../../model/check.ts';
import { isSamePrint } from './hiss-print.ts';

/** A take with the hiss of its first channel. */
export interface PrintedTake {
  readonly facts: TakeFacts;
  readonly print: Float32Array | null;
}

/** The facts of every take, with the earlier take of which it holds the samples where it does. */
export function withSameTakes(takes: readonly PrintedTake[]): TakeFacts[] {
  return takes.map((take, t) => {
    const same = takes.slice(0, t).find((earlier) => isSame(take, earlier));
    if (same === undefined) return take.facts;
    const { file, takeStartSeconds: atSeconds, setting } = same.facts;
    return { ...take.facts, sameAs: { file, atSeconds, setting } };
  });
}

function isSame(one: PrintedTake, other: PrintedTake): boolean {
  if (one.facts.channels.length !== other.facts.channels.length) return false;
  return one.print !== null && other.print !== null
    ? isSamePrint(one.print, other.print)
    : one.print === other.print && reads(one.facts) === reads(other.facts);
}

/** Without hiss: no two takes read alike to the last digit. */
function reads({ channels, clockPpm }: TakeFacts): string {
  return JSON.stringify([
    clockPpm?.value,
    channels.map(({ levelDbFs, peakDbFs, noiseDbFs, dcOffset }) => [
      levelDbFs,
      peakDbFs,
      noiseDbFs,
      dcOffset,
    ]),
  ]);
}
