import { isNotMeasurable } from '../../model/measured.ts';
import type { Target } from '../../model/recommendation.ts';
import { fixed, formatSetting, plainHz, significant } from '../format.ts';
import { type Sentence, say, volts } from '../sentence.ts';
import type { WordTable } from './statement.ts';
import { asClause } from './statement.ts';

/**
 * Every reading for which a meter tone exists: a row for each tone, setting and state of the restoration, the one to set
 * the knob by first; a column for each drive.
 */
export function targetTable(targets: readonly Target[]): WordTable {
  const ordered = [...targets].sort((a, b) => Number(b.setBy) - Number(a.setBy));
  const drives = [...new Set(targets.map(({ driveDbFs }) => driveDbFs))].sort((a, b) => b - a);
  const rows = new Map<string, Target[]>();
  for (const target of ordered) {
    const key = rowName(target);
    rows.set(key, [...(rows.get(key) ?? []), target]);
  }
  return {
    columns: ['Tone', ...drives.map((drive) => `at ${fixed(drive, 0)} dBFS`)],
    rows: [...rows].map(([name, own]) => [
      say`${name}`,
      ...drives.map((drive) => cell(own.find(({ driveDbFs }) => driveDbFs === drive))),
    ]),
  };
}

function rowName({ toneHz, setting, restoration }: Target): string {
  const off = restoration === 'none' ? '' : `, restoration ${restoration}`;
  return `${plainHz(toneHz)}, setting ${formatSetting(setting)}${off}`;
}

function cell(target: Target | undefined): Sentence {
  if (target === undefined) return say``;
  const { watts, setBy, overLimit } = target;
  const power = watts === null || overLimit ? '' : ` (${significant(watts, 2)} W)`;
  return say`${readingSentence(target)}${power}${setBy ? ', set by this' : ''}`;
}

export function readingSentence({ voltsRms, overLimit }: Target): Sentence {
  if (overLimit) return say`do not play it: a stage is past its limit`;
  if (isNotMeasurable(voltsRms)) return say`to be measured: ${asClause(voltsRms.notMeasurable)}`;
  return say`${volts(voltsRms.value, voltsRms.plusMinus)}`;
}
