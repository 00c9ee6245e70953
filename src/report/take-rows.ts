import type { Evidence } from '../model/evidence.ts';
import type { MeasurementRecord, Results } from '../model/results.ts';

/** One playing of the track in one file: a row among the recordings, with every channel that was used. */
export interface TakeRow {
  readonly anchor: string;
  readonly number: number;
  readonly evidence: Evidence;
  readonly channels: readonly { readonly evidence: Evidence; readonly measurement: MeasurementRecord }[];
}

/** In the order of file names and places; rows are counted, so that no text of the user's gets into an address. */
export function takeRows(results: Results): TakeRow[] {
  const rows = new Map<string, { evidence: Evidence; measurement: MeasurementRecord }[]>();
  for (const measurement of results.measurements) {
    for (const evidence of measurement.evidence) {
      const key = takeKey(evidence);
      rows.set(key, [...(rows.get(key) ?? []), { evidence, measurement }]);
    }
  }
  return [...rows.values()]
    .map((channels) => channels.sort((a, b) => a.evidence.channel - b.evidence.channel))
    .sort(
      ([a], [b]) =>
        compareText(a.evidence.file, b.evidence.file) ||
        a.evidence.takeStartSeconds - b.evidence.takeStartSeconds,
    )
    .map((channels, i) => ({
      anchor: `take-${i + 1}`,
      number: i + 1,
      evidence: channels[0].evidence,
      channels,
    }));
}

export function takeKey({ file, takeStartSeconds }: Evidence): string {
  return JSON.stringify([file, takeStartSeconds]);
}

/** By code unit, so that the order is the same on every machine. */
function compareText(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}
