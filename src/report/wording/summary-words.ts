import { findingsOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import { formatSetting } from '../format.ts';
import { bandSpan } from './band-words.ts';

/** Words of the picture that shows the whole radio at a glance. */
export const SUMMARY_WORDS = {
  title: 'At a glance',
  reading: 'Across: frequency in Hz. Up: volume setting. Solid: full level. Blank: 24 dB down, or nothing.',
  saveSvg: 'Save as SVG',
  savePng: 'Save as PNG',
} as const;

/** Short facts of outputs that agree: band, where the bass is cut from, where it clips. */
export function summaryFacts({ findings }: Results, tapIds: readonly string[]): string[] {
  const own = <Found extends { tapIds: readonly string[] }>(list: readonly Found[]) =>
    list.filter((finding) => finding.tapIds.some((id) => tapIds.includes(id)));
  const [band] = own(findingsOf(findings, 'band'));
  const [bass] = own(findingsOf(findings, 'bass-change'));
  const clips = own(findingsOf(findings, 'clean-settings')).flatMap(
    ({ firstClippingRecorded }) => firstClippingRecorded ?? [],
  );
  return [
    ...(band?.verdict === 'full range' ? ['full range'] : []),
    ...(band?.verdict === 'band-limited' ? [bandSpan(band)] : []),
    ...(bass?.verdict === 'falls with volume' && bass.onset !== null
      ? [`bass cut from ${formatSetting(Math.round(bass.onset.midpoint))}`]
      : []),
    ...(own(findingsOf(findings, 'bass-limiter')).length === 0 ? [] : ['bass held by a limiter']),
    ...(clips.length === 0 ? [] : [`clips at ${formatSetting(Math.min(...clips))}`]),
  ];
}
