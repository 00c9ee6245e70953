import { type Finding, type FindingOf, findingsOf } from '../../model/finding.ts';

/**
 * Whether the car has to wait for settings that this tap's bass can be held against. A loss that is known as a minimum need not
 * be known better where another output is open at its low end and keeps its bass: the subwoofer is fed from that one.
 */
export function awaitsReference(
  { plateauSettings, atLeast }: FindingOf<'bass-change'>,
  findings: readonly Finding[],
): boolean {
  if (plateauSettings.length > 0) return false;
  const open = findingsOf(findings, 'band')
    .filter(({ verdict, lowEdge }) => verdict !== 'cannot be told' && lowEdge === null)
    .flatMap(({ tapIds }) => tapIds);
  const keepsItsBass = findingsOf(findings, 'bass-change').some(
    ({ verdict, tapIds }) => verdict === 'steady' && tapIds.some((tapId) => open.includes(tapId)),
  );
  return atLeast === undefined || !keepsItsBass;
}
