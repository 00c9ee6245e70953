import { findingsOf } from '../../../model/finding.ts';
import { isNotMeasurable } from '../../../model/measured.ts';
import { recommendationsOf } from '../../../model/recommendation.ts';
import type { Results } from '../../../model/results.ts';
import { listed } from '../../../words/figures.ts';
import { formatSetting } from '../../format.ts';
import { say } from '../../sentence.ts';
import { notJudgedText } from '../gain-words.ts';
import { asClause, type TapLabel } from '../statement.ts';
import { because, idsOf, type VerdictLine } from './verdict-line.ts';

/** How far up the volume may go, and what ends it. */
export function volumeLine(results: Results, label: TapLabel): VerdictLine {
  const { recommendations, chain } = results;
  const [item] = recommendationsOf(recommendations, 'highest-clean-setting');
  const line = (text: string, known: boolean): VerdictLine => ({
    name: 'Volume',
    sentence: say`${text}${item === undefined ? '' : notJudgedText(item, label)}`,
    known,
    evidenceIds: idsOf(item === undefined ? [] : [item]),
  });
  if (item === undefined || item.recorded === null) {
    if (because(results, 'clips before the volume control') !== undefined)
      return line('No setting is clean with full-scale music.', true);
    const reason =
      item !== undefined && isNotMeasurable(item.voltsRms)
        ? item.voltsRms.notMeasurable
        : ({ code: 'no clean setting known' } as const);
    return line(`Not known how far it may go: ${asClause(reason)}.`, false);
  }
  const planned = chain?.volume.setting ?? item.recorded;
  const off = chain?.volume.engineOff?.setting ?? null;
  const engine = off === null || off >= planned ? '' : `, ${formatSetting(off)} with the engine off`;
  const upTo = `Up to ${formatSetting(planned)}${engine}`;
  if (planned < item.recorded && item.endedBy !== undefined)
    return line(`${upTo}: ${asClause(item.endedBy)}.`, true);
  if (planned < item.recorded)
    return line(
      `${upTo}: restoration reaches no further, though the radio stays clean to ${formatSetting(item.recorded)}.`,
      true,
    );
  if (item.asLoudAsPlayed !== undefined && item.notKnown === undefined)
    return line(`${upTo}, the highest recorded: no tone clips${triedText(results)}.`, true);
  const [firstNotKnown] = item.notKnown?.settings ?? [];
  if (item.firstClippingRecorded === null && firstNotKnown !== undefined)
    return line(`${upTo}; whether it is clean at ${formatSetting(firstNotKnown)} is not known.`, true);
  if (item.firstClippingRecorded === null)
    return line(`${upTo}, the highest recorded: nothing clips${triedText(results)}.`, true);
  const clips = item.limitingTapId === null ? 'the radio' : label(item.limitingTapId);
  return line(`${upTo}; ${clips} clips at ${formatSetting(item.firstClippingRecorded)}.`, true);
}

/** A stage with iron in it clips the lower the deeper the tone: clean is said of the tones that were tried. */
function triedText({ findings }: Results): string {
  const tones = [...new Set(findingsOf(findings, 'clipping').map(({ toneHz }) => toneHz))];
  return tones.length === 0 ? '' : ` at ${listed(tones.map((hz) => `${hz}`))} Hz`;
}
