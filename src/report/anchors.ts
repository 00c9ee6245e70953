import type { Evidence } from '../model/evidence.ts';
import type { Results } from '../model/results.ts';

/** Where things stand in the page. Anchors are counted, so that no text of the user's gets into an address. */
export interface Anchors {
  /** Of a finding or a recommendation; null for an id that the results do not hold. */
  readonly of: (id: string) => string | null;
  /** Of a take's row among the recordings. */
  readonly ofTake: (evidence: Evidence) => string | null;
  /** Takes in the order of their rows. */
  readonly takes: readonly Take[];
}

export interface Take {
  readonly anchor: string;
  readonly evidence: Evidence;
  readonly tapId: string;
}

export function anchorsOf(results: Results): Anchors {
  const anchors = new Map([
    ...results.findings.map(({ id }, i) => [id, `found-${i + 1}`] as const),
    ...results.recommendations.map(({ id }, i) => [id, `advice-${i + 1}`] as const),
  ]);
  const takes = takesOf(results);
  const takeAnchors = new Map(takes.map(({ anchor, evidence }) => [takeKey(evidence), anchor]));
  return {
    of: (id) => anchors.get(id) ?? null,
    ofTake: (evidence) => takeAnchors.get(takeKey(evidence)) ?? null,
    takes,
  };
}

function takesOf(results: Results): Take[] {
  const all = results.measurements.flatMap(({ tapId, evidence }) =>
    evidence.map((one) => ({ tapId, evidence: one })),
  );
  return all
    .sort(
      (a, b) =>
        compareText(a.evidence.file, b.evidence.file) ||
        a.evidence.channel - b.evidence.channel ||
        a.evidence.takeStartSeconds - b.evidence.takeStartSeconds,
    )
    .map((take, i) => ({ ...take, anchor: `take-${i + 1}` }));
}

function takeKey({ file, channel, takeStartSeconds }: Evidence): string {
  return JSON.stringify([file, channel, takeStartSeconds]);
}

/** By code unit, so that the order is the same on every machine. */
function compareText(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}
