import type { FindingOf } from '../../model/finding.ts';

type BassChange = FindingOf<'bass-change'>;

/** Bass that holds up to a setting says nothing of those above it that were not read, or are in doubt. */
export function steadyOnlySoFar(finding: BassChange, openSettings: readonly number[]): BassChange {
  const upToSetting = Math.max(...finding.changes.map(({ setting }) => setting));
  const above = openSettings.filter((setting) => setting > upToSetting);
  if (finding.verdict !== 'steady' || above.length === 0) return finding;
  return {
    ...finding,
    verdict: 'cannot be told',
    reason: { code: 'steady only so far', upToSetting, openSettings: above },
    recordNext: Math.max(...above),
  };
}
