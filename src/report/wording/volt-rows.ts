import { isNotMeasurable } from '../../model/measured.ts';
import type { Recommendation, RecommendationOf, Target } from '../../model/recommendation.ts';
import { fixed, formatSetting, plainHz } from '../format.ts';
import { type Sentence, say, volts } from '../sentence.ts';
import { asClause, capitalised } from './statement.ts';

/** What to set of one feed with one tone: the meter's reading behind the converter, then behind the amplifier. */
interface VoltRow {
  readonly feed: string;
  readonly play: string;
  /** Empty where the table's title says it for all rows. */
  readonly at: string;
  readonly converter: Sentence | null;
  readonly amplifier: Sentence | null;
  readonly known: boolean;
}

interface VoltTable {
  readonly title: string;
  /** What holds for every row. */
  readonly conditions: string;
  readonly rows: readonly VoltRow[];
}

type Level = RecommendationOf<'converter-level' | 'amplifier-gain'>;

/** Every level and gain in the order of work; what all rows share is said once, above them. */
export function voltTable(recommendations: readonly Recommendation[]): VoltTable {
  const levels = [...recommendations]
    .sort((a, b) => a.order - b.order)
    .flatMap((item) =>
      item.kind === 'converter-level' || item.kind === 'amplifier-gain' ? setBy(item) : [],
    );
  const settings = new Set(levels.map(({ target }) => target.setting));
  const drives = new Set(levels.map(({ target }) => target.driveDbFs));
  const oneSetting = settings.size === 1;
  const oneDrive = drives.size === 1;
  const rows = new Map<string, Chosen[]>();
  for (const one of levels) {
    const key = JSON.stringify([one.item.output, playOf(one.target), atOf(one.target)]);
    rows.set(key, [...(rows.get(key) ?? []), one]);
  }
  const restored = levels.some(({ target }) => target.restoration !== 'none');
  return {
    title: oneSetting ? `Volts at ${levels.map(({ target }) => formatSetting(target.setting))[0]}` : 'Volts',
    conditions: [
      ...(oneDrive ? levels.slice(0, 1).map(({ target }) => driveOf(target)) : []),
      ...(restored ? ['restoration off'] : []),
    ].join(', '),
    rows: [...rows.values()].map((own) => {
      const [{ item, target }] = own;
      return {
        feed: capitalised(item.output),
        play: oneDrive ? plainHz(target.toneHz) : playOf(target),
        at: oneSetting ? '' : atOf(target),
        converter: readingOf(own, 'converter-level'),
        amplifier: readingOf(own, 'amplifier-gain'),
        known: own.every((one) => !isNotMeasurable(one.target.voltsRms)),
      };
    }),
  };
}

interface Chosen {
  readonly item: Level;
  readonly target: Target;
}

function setBy(item: Level): Chosen[] {
  const target = item.targets.find((one) => one.setBy) ?? item.targets[0];
  return target === undefined ? [] : [{ item, target }];
}

function playOf(target: Target): string {
  return `${plainHz(target.toneHz)}, ${driveOf(target)}`;
}

function driveOf({ driveDbFs }: Target): string {
  return `${fixed(driveDbFs, 0)} dBFS`;
}

function atOf({ setting }: Target): string {
  return formatSetting(setting);
}

function readingOf(own: readonly Chosen[], kind: Level['kind']): Sentence | null {
  const target = own.find(({ item }) => item.kind === kind)?.target;
  if (target === undefined) return null;
  return isNotMeasurable(target.voltsRms)
    ? say`measure: ${asClause(target.voltsRms.notMeasurable)}`
    : say`${volts(target.voltsRms.value)}`;
}
