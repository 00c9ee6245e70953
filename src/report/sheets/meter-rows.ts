import { isNotMeasurable } from '../../model/measured.ts';
import type { RecommendationOf, Target } from '../../model/recommendation.ts';
import { meterToneName } from '../../tones/stick-files.ts';
import { formatSetting, significant } from '../format.ts';
import { type Html, html } from '../html.ts';
import { say, sentenceHtml, volts } from '../sentence.ts';
import { asClause } from '../wording/statement.ts';
import { blank } from './sheet-page.ts';

type Knob = RecommendationOf<'converter-level' | 'amplifier-gain'>;

/** One reading of the meter: four cells (tone file, setting, restoration, target) and one to write into. */
export interface MeterRow {
  readonly cells: Html;
}

/** The reading to set a knob by, then those that check it: the other state of the restoration, another tone. */
export function meterRows({ targets, tolerancePercent }: Knob): MeterRow[] {
  const setBy = targets.find((target) => target.setBy) ?? targets[0];
  if (setBy === undefined) return [];
  return [setBy, ...checksOf(setBy, targets)].map((target) => ({ cells: cellsOf(target, tolerancePercent) }));
}

function checksOf(setBy: Target, targets: readonly Target[]): Target[] {
  if (isNotMeasurable(setBy.voltsRms)) return [];
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
  const two = [restored, other].filter((target) => target !== undefined);
  return two.length > 0 ? two : known.slice(0, 1);
}

function cellsOf(target: Target, tolerancePercent: number): Html {
  const { toneHz, driveDbFs, setting, restoration } = target;
  return html`<td class="tone">${meterToneName({ toneHz, driveDbFs })}</td><td>${formatSetting(setting)}</td><td>${restoration === 'none' ? '–' : restoration}</td><td class="target">${targetText(target, tolerancePercent)}</td><td>${blank()}</td>`;
}

function targetText({ voltsRms, watts, overLimit }: Target, tolerancePercent: number): Html {
  if (overLimit) return html`do not play it: a stage is past its limit`;
  if (isNotMeasurable(voltsRms)) return html`to be measured: ${asClause(voltsRms.notMeasurable)}`;
  const power = watts === null ? '' : ` (${significant(watts, 2)} W)`;
  return html`${sentenceHtml(say`${volts(voltsRms.value)}`)} ± ${tolerancePercent} %${power}`;
}
