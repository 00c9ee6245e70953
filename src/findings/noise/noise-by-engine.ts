import type { Finding, FindingOf, NoiseTake } from '../../model/finding.ts';
import { humOf } from './hum.ts';
import { lineOrigins } from './line-origins.ts';

type Noise = FindingOf<'noise'>;
type TapNoiseTake = NoiseTake & { readonly tapId: string; readonly file: string; readonly channel: number };

/**
 * Adds what the noise takes say to the noise finding of each tap; a tap that was recorded in noise takes only gets one of
 * its own. A comb over many lines is an alternator or an engine only if it moves with it: see `line-origins.ts`.
 */
export function noiseByEngine(
  findings: readonly (Finding | null)[],
  takes: readonly TapNoiseTake[],
): (Finding | null)[] {
  const byTap = new Map<string, TapNoiseTake[]>();
  for (const take of takes) byTap.set(take.tapId, [...(byTap.get(take.tapId) ?? []), take]);
  const known = findings.map((finding) => {
    if (finding?.kind !== 'noise') return finding;
    const own = byTap.get(finding.tapIds[0]);
    byTap.delete(finding.tapIds[0]);
    return own === undefined ? finding : withTakes(finding, own);
  });
  return [...known, ...Array.from(byTap, ([tapId, own]) => withTakes(withoutTrack(tapId, own), own))];
}

function withTakes(finding: Noise, own: readonly TapNoiseTake[]): Noise {
  const takes = own.map(({ tapId: _, file: __, channel: ___, ...take }) => take);
  const evidence = own.map(({ file, channel, setting }) => ({
    file,
    channel,
    setting,
    takeStartSeconds: 0,
  }));
  return { ...finding, evidence: [...finding.evidence, ...evidence], takes, origins: lineOrigins(takes) };
}

function withoutTrack(tapId: string, own: readonly TapNoiseTake[]): Noise {
  const off = own.filter(({ engine }) => engine === 'off').flatMap(({ lines }) => lines);
  return {
    kind: 'noise',
    id: `noise:${tapId}`,
    tapIds: [tapId],
    evidence: [],
    perSetting: [],
    lines: off,
    mainsHz: humOf(off.map(({ frequencyHz }) => frequencyHz)),
    mutesInSilence: false,
    limitedBy: 'not told',
  };
}
