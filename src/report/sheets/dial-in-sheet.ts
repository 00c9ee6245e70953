import type { Recommendation, RecommendationOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import type { Tap } from '../../model/session.ts';
import { listed } from '../../words/figures.ts';
import { chainDrawing } from '../drawing/chain-drawing.ts';
import { formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import { inOrder } from '../in-order.ts';
import { NO_IMAGES, type PhotoImages } from '../photos.ts';
import { plainText, say, sentenceHtml } from '../sentence.ts';
import { tapLabelOf } from '../tap-label.ts';
import { tapNoteLine } from '../tap-notes.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import type { Statement, Step, TapLabel } from '../wording/statement.ts';
import { known } from '../wording/statement.ts';
import { verdictTitle } from '../wording/verdict/verdict-title.ts';
import { meterCells } from './meter-rows.ts';
import { photoSection } from './photo-section.ts';
import { blank, sheetList, sheetPage, tickBox } from './sheet-page.ts';
import { wrongReading } from './wrong-reading.ts';

/** Everything to set, in the order of work: target, reading to write down, box to tick, and what a wrong reading means. */
export function renderDialInSheet(results: Results, images: PhotoImages = NO_IMAGES): string {
  const label = tapLabelOf(results);
  // Nothing is wired or set for a job that is not to be done like this.
  const isOff = results.chain?.verdict === 'not like this';
  const steps = inOrder(results).flatMap((item): SheetStep[] => {
    const { step } = recommendationWords(item, label);
    if (step === null || (isOff && item.kind !== 'record-next')) return [];
    return [{ item, step: item.kind === 'highest-clean-setting' ? volumeStep(item, step, results) : step }];
  });
  const drawing = chainDrawing(results, label, 'planned');
  // The drawing names the wires, too.
  const noted = drawing.text === '' ? results.session.taps : [];
  const joined = withSidesJoined(steps);
  const isDirect = ({ item }: SheetStep) =>
    'output' in item &&
    results.chain?.feeds.some(({ output, direct }) => direct && output === item.output) === true;
  const help = joined.map(([first]) => wrongReading(first.item, isDirect(first)));
  const rows = joined.map((own, i) => {
    const said = help.indexOf(help[i]);
    return row(noted, own, {
      number: i + 1,
      wrong: said < i && help[i] !== '' ? `see ${said + 1}` : help[i],
    });
  });
  const table = html`<table class="steps">
<colgroup><col style="width:3%"><col style="width:14%"><col style="width:23%"><col style="width:27%"><col style="width:7%"><col style="width:5%"><col></colgroup><thead><tr>${COLUMNS.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
<tbody>${rows}</tbody></table>`;
  const work = rows.length > 0 ? html`${sheetList(BEFORE)}${table}<p>${AFTER}</p>` : html``;
  const verdict = isOff ? sheetList([notYet(results, label)]) : html``;
  return sheetPage({
    title: 'Dial-in sheet',
    name: results.session.name,
    body: html`<div class="full">${isOff ? html`${verdict}${drawing}` : drawing}${work}</div>${photoSection(results, images)}`,
  });
}

/** Why there is nothing to set, and what would make it possible. */
function notYet(results: Results, label: TapLabel): Statement {
  const verdict = verdictTitle(results, label);
  return { sentence: say`Set nothing yet. ${verdict?.because ?? ''}`, known: false };
}

type StepRow = [SheetStep, ...SheetStep[]];

interface SheetStep {
  readonly item: Recommendation;
  readonly step: Step;
}

/** Where restoration ends before the radio clips, every volt of the sheet is for that lower setting. */
function volumeStep(
  { recorded }: RecommendationOf<'highest-clean-setting'>,
  step: Step,
  { chain }: Results,
): Step {
  const setting = chain?.volume.setting ?? null;
  if (recorded === null || setting === null || setting >= recorded) return step;
  return {
    ...step,
    setTo: say`Set the gains at ${formatSetting(setting)}. Tell the customer not to go higher.`,
    check: say`The radio stays clean up to ${formatSetting(recorded)}, but above ${formatSetting(setting)} restoration cannot fill the bass.`,
  };
}

const COLUMNS = ['No.', 'Where', 'Play steptone-...', 'Target', 'Read', 'Done', 'If wrong'];

/** The wiring of a left and a right side is one row, and so are the filters of one feed. */
function withSidesJoined(steps: readonly SheetStep[]): StepRow[] {
  const rows: StepRow[] = [];
  for (const step of steps) {
    const last = rows.at(-1)?.[0].item;
    const { item } = step;
    const joins = item.kind === 'feed' || item.kind === 'filter';
    const sameFeed = joins && last?.kind === item.kind && last.output === item.output;
    if (sameFeed) rows[rows.length - 1].push(step);
    else rows.push([step]);
  }
  return withAlikeFiltersJoined(rows);
}

/** Feeds that take the same filters share a row. */
function withAlikeFiltersJoined(rows: readonly StepRow[]): StepRow[] {
  const joined: StepRow[] = [];
  for (const row of rows) {
    const last = joined.at(-1);
    const alike = row[0].item.kind === 'filter' && last !== undefined && filterText(row) === filterText(last);
    if (alike) joined[joined.length - 1] = [...last, ...row];
    else joined.push(row);
  }
  return joined;
}

function filterText(row: StepRow): string {
  return row
    .map(({ item, step }) => `${item.kind === 'filter' ? item.type : ''} ${plainText(step.setTo)}`)
    .join();
}

function row(
  taps: readonly Tap[],
  steps: readonly [SheetStep, ...SheetStep[]],
  { number, wrong }: { number: number; wrong: string },
): Html {
  const [{ item }] = steps;
  const meter = item.kind === 'converter-level' || item.kind === 'amplifier-gain' ? meterCells(item) : null;
  const own =
    meter === null
      ? html`<td colspan="3">${ofFirstFeed(steps).map((one) => stepText(taps, one))}</td>`
      : html`<td data-name="Play">${meter.play}</td><td class="target" data-name="Target">${meter.target}</td><td data-name="Read">${blank()}</td>`;
  return html`<tr><td>${number}</td><th scope="row">${rowName(steps)}</th>${own}<td data-name="Done">${tickBox()}</td><td class="wrong" data-name="If wrong">${wrong}</td></tr>`;
}

/** The others say the same. */
function ofFirstFeed(steps: readonly SheetStep[]): readonly SheetStep[] {
  const [{ item: first }] = steps;
  return steps.filter(
    ({ item }) => item.kind !== 'filter' || first.kind !== 'filter' || item.output === first.output,
  );
}

function rowName(steps: readonly [SheetStep, ...SheetStep[]]): string {
  const [
    {
      item,
      step: { where },
    },
  ] = steps;
  if (item.kind === 'feed') return `Wiring: ${item.output}`;
  if (item.kind === 'filter') {
    const outputs = steps.flatMap((one) => (one.item.kind === 'filter' ? [one.item.output] : []));
    return `Filters: ${listed([...new Set(outputs)])}`;
  }
  if (item.kind === 'converter-level') return `Converter: ${item.output}`;
  return item.kind === 'amplifier-gain' ? `Amplifier: ${item.output}` : where;
}

function stepText(noted: readonly Tap[], { item, step }: SheetStep): Html {
  if (item.kind === 'feed') return html`<div>${sentenceHtml(step.setTo)}${wires(noted, item)}</div>`;
  if (item.kind === 'filter') {
    const name = item.type === 'high-pass' ? 'High-pass' : 'Low-pass';
    return html`<div>${name} ${sentenceHtml(step.setTo)}</div>`;
  }
  return html`${sentenceHtml(step.setTo)} ${sentenceHtml(step.check)}`;
}

/** Where the taps of a feed are, as noted in the bay. */
function wires(noted: readonly Tap[], { taps }: RecommendationOf<'feed'>): Html[] {
  return taps.flatMap(({ tapId }) => {
    const tap = noted.find(({ id }) => id === tapId);
    const line = tap === undefined ? '' : tapNoteLine(tap);
    return tap === undefined || line === '' ? [] : [html`<br><small>${tap.label}: ${line}.</small>`];
  });
}

const BEFORE = [
  known(
    say`Before the first tone, unplug the speakers or put a load on. Filters wide open, bass controls and restoration off, subwoofer last.`,
  ),
  known(
    say`Start with gains and volume at their lowest. Step up from quiet, stop at any distress, protect your ears.`,
  ),
  known(
    say`Read AC volts, true RMS, across the pair; never from one wire to chassis. Maker and local codes come first.`,
  ),
];

const AFTER =
  'At the end: take the stick out, check the sleep current, and record again behind converter and amplifier to prove it.';
