import { isNotMeasurable } from '../../model/measured.ts';
import { codeOf } from '../../model/reason.ts';
import type { RecommendationOf, Target } from '../../model/recommendation.ts';
import { meterToneName } from '../../tones/stick-files.ts';
import { formatSetting, plainHz, significant } from '../format.ts';
import { type Html, html } from '../html.ts';
import { say, sentenceHtml, volts } from '../sentence.ts';
import { asClause, capitalised } from '../wording/statement.ts';

type Knob = RecommendationOf<'converter-level' | 'amplifier-gain'>;

/** What to play and what the meter then reads: the reading to set a knob by, with those that check it below. */
interface MeterCells {
  readonly play: Html;
  readonly target: Html;
}

/** Null where there is nothing to read. */
export function meterCells({ targets, tolerancePercent, reasons }: Knob): MeterCells | null {
  const setBy = targets.find((target) => target.setBy) ?? targets[0];
  if (setBy === undefined) return null;
  const checks = checksOf(setBy, targets).map(
    (target) => html`<br><small>${checkText(target, setBy)}</small>`,
  );
  return {
    play: html`${playText(setBy)}`,
    target: html`<b>${targetText(setBy, tolerancePercent)}</b>${checks}${cautionsOf(reasons)}`,
  };
}

/** What has to be looked at before this knob is turned up. */
const CAUTIONS = new Set<string>(['rating not noted', 'lowest load not noted']);

function cautionsOf(reasons: Knob['reasons']): Html[] {
  return reasons
    .filter((reason) => CAUTIONS.has(codeOf(reason) ?? ''))
    .map((reason) => html`<br><small>${capitalised(asClause(reason))}.</small>`);
}

function playText({ toneHz, driveDbFs, setting, restoration }: Target): string {
  const off = restoration === 'none' ? '' : `, restoration ${restoration}`;
  return `${meterToneName({ toneHz, driveDbFs })} at ${formatSetting(setting)}${off}`;
}

/** Where there is restoration: its other state, or else another tone. */
function checksOf(setBy: Target, targets: readonly Target[]): Target[] {
  if (isNotMeasurable(setBy.voltsRms) || setBy.restoration === 'none') return [];
  const known = targets.filter(
    (target) => target !== setBy && !target.overLimit && !isNotMeasurable(target.voltsRms),
  );
  const atDrive = known.filter(({ driveDbFs }) => driveDbFs === setBy.driveDbFs);
  const restored = atDrive.find(
    ({ toneHz, restoration }) => toneHz === setBy.toneHz && restoration !== setBy.restoration,
  );
  const other = atDrive.find(
    ({ toneHz, restoration }) => toneHz !== setBy.toneHz && restoration === setBy.restoration,
  );
  return [restored ?? other ?? known[0]].filter((target) => target !== undefined);
}

function checkText(target: Target, setBy: Target): Html {
  if (isNotMeasurable(target.voltsRms)) return html``;
  const how = [
    ...(target.toneHz === setBy.toneHz ? [] : [plainHz(target.toneHz)]),
    ...(target.restoration === setBy.restoration ? [] : [`restoration ${target.restoration}`]),
    ...(target.driveDbFs === setBy.driveDbFs ? [] : [`${target.driveDbFs} dBFS`.replace('-', '\u2212')]),
  ].join(', ');
  return html`check ${how}: ${sentenceHtml(say`${volts(target.voltsRms.value)}`)}`;
}

function targetText({ voltsRms, watts, overLimit }: Target, tolerancePercent: number): Html {
  if (overLimit) return html`do not play it: a stage is past its limit`;
  if (isNotMeasurable(voltsRms)) return html`to be measured: ${asClause(voltsRms.notMeasurable)}`;
  const power = watts === null ? '' : ` (${significant(watts, 2)} W)`;
  return html`${sentenceHtml(say`${volts(voltsRms.value)}`)} ± ${tolerancePercent} %${power}`;
}
