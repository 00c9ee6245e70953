import { isNotMeasurable } from '../../model/measured.ts';
import type { Recommendation, RecommendationOf } from '../../model/recommendation.ts';
import { fixed, formatSetting, plainHz } from '../format.ts';
import { type Sentence, say, volts } from '../sentence.ts';
import { asClause } from './statement.ts';

/** One thing to turn: the tone to play, the radio's setting, and what the meter then reads. */
export interface VoltRow {
  readonly turn: string;
  readonly play: string;
  readonly at: string;
  readonly read: Sentence;
  readonly told: boolean;
}

/** Every level and gain in the order of work, by the reading that it is set by. */
export function voltRows(recommendations: readonly Recommendation[]): VoltRow[] {
  return [...recommendations]
    .sort((a, b) => a.order - b.order)
    .flatMap((item) => (item.kind === 'converter-level' || item.kind === 'amplifier-gain' ? row(item) : []));
}

function row(item: RecommendationOf<'converter-level' | 'amplifier-gain'>): VoltRow[] {
  const target = item.targets.find(({ setBy }) => setBy) ?? item.targets[0];
  if (target === undefined) return [];
  const { toneHz, driveDbFs, setting, restoration, voltsRms } = target;
  const off = restoration === 'none' ? '' : `, restoration ${restoration}`;
  return [
    {
      turn: `${item.kind === 'converter-level' ? 'Converter' : 'Amplifier'}, ${item.output}`,
      play: `${plainHz(toneHz)}, ${fixed(driveDbFs, 0)} dBFS`,
      at: `${formatSetting(setting)}${off}`,
      read: isNotMeasurable(voltsRms)
        ? say`measure: ${asClause(voltsRms.notMeasurable)}`
        : say`${volts(voltsRms.value)}`,
      told: !isNotMeasurable(voltsRms),
    },
  ];
}
