import type { Recommendation } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { type Html, html } from '../html.ts';
import { NO_IMAGES, type PhotoImages } from '../photos.ts';
import { inOrder } from '../sections/dial-in-section.ts';
import { say, sentenceHtml } from '../sentence.ts';
import { tapNoteLine } from '../tap-notes.ts';
import { tapLabelOf } from '../verdicts.ts';
import { recommendationWords, type Step } from '../wording/recommendation-words.ts';
import { told } from '../wording/statement.ts';
import { meterRows } from './meter-rows.ts';
import { photoSection } from './photo-section.ts';
import { sheetList, sheetPage, sheetSection, tickBox } from './sheet-page.ts';
import { wrongReading } from './wrong-reading.ts';

/** Everything to set, in the order of work: target, reading to write down, box to tick, and what a wrong reading means. */
export function renderDialInSheet(results: Results, images: PhotoImages = NO_IMAGES): string {
  const label = tapLabelOf(results);
  const steps = inOrder(results).flatMap((item) => {
    const { step } = recommendationWords(item, label);
    return step === null ? [] : [{ item, step, wrong: wrongReading(item) }];
  });
  const wrongs = [...new Set(steps.map(({ wrong }) => wrong))];
  const letterOf = (wrong: string) => String.fromCharCode(FIRST_LETTER + wrongs.indexOf(wrong));
  const wires = wireLines(
    results,
    steps.map(({ item }) => item),
  );
  const rows = steps.map(({ item, step, wrong }, i) =>
    stepRows({ number: i + 1, item, step, letter: letterOf(wrong), wires: wires[i] }),
  );
  const table = html`<table class="steps">
<thead><tr><th scope="col">Step</th><th scope="col">Where</th><th scope="col">Tone file: steptone-...</th><th scope="col">Setting</th><th scope="col">Resto&shy;ration</th><th scope="col">Target</th><th scope="col">Read</th><th scope="col">Done</th><th scope="col">If wrong</th></tr></thead>
<tbody>${rows}</tbody></table>`;
  const key = html`<ul>${wrongs.map((wrong) => html`<li><b>${letterOf(wrong)}</b>: ${wrong}</li>`)}</ul>`;
  return sheetPage({
    title: 'Dial-in sheet',
    name: results.session.name,
    body: html`${sheetSection('Before the first tone', sheetList(BEFORE))}${sheetSection('In the order of work', table)}${wrongs.length === 0 ? '' : sheetSection('Wrong reading: then check', key)}<p>${AFTER}</p>${photoSection(results, images)}`,
  });
}

const FIRST_LETTER = 'A'.charCodeAt(0);

function stepRows({
  number,
  item,
  step,
  letter,
  wires,
}: {
  number: number;
  item: Recommendation;
  step: Step;
  letter: string;
  wires: readonly Html[];
}): Html {
  const [first, ...checks] =
    item.kind === 'converter-level' || item.kind === 'amplifier-gain' ? meterRows(item) : [];
  const own =
    first?.cells ??
    html`<td colspan="5">${sentenceHtml(step.setTo)} ${item.kind === 'filter' ? '' : sentenceHtml(step.check)}${wires}</td>`; // filters: in the key
  return html`<tr><td>${number}</td><th scope="row">${step.where}</th>${own}<td>${tickBox()}</td><td>${letter}</td></tr>${checks.map(
    ({ cells }) => html`<tr class="check"><td></td><td>to check it</td>${cells}<td></td><td></td></tr>`,
  )}`;
}

/** Where the taps of each feed are, as noted in the bay, said once. */
function wireLines({ session }: Results, items: readonly Recommendation[]): Html[][] {
  const said = new Map<string, number>();
  return items.map((item, i) => {
    if (item.kind !== 'feed') return [];
    return item.taps.flatMap(({ tapId }) => {
      const tap = session.taps.find(({ id }) => id === tapId);
      const line = tap === undefined ? '' : tapNoteLine(tap);
      if (tap === undefined || line === '') return [];
      const before = said.get(tapId);
      said.set(tapId, before ?? i + 1);
      return [html`<br>${tap.label}: ${before === undefined ? line : `as in step ${before}`}.`];
    });
  });
}

const BEFORE = [
  told(
    say`Loudspeakers unplugged or a load on, filters wide open, bass controls and restoration off, subwoofer last.`,
  ),
  told(
    say`Start with every gain at its lowest and the volume down; step up from quiet; stop at any distress; protect ears.`,
  ),
  told(say`Meter on AC volts, true RMS; read across the pair, never from one wire to chassis.`),
  told(say`The maker's service information, local codes and licensed practice come before this sheet.`),
];

const AFTER =
  'At the end: take the stick out, check the sleep current, and record again behind the converter and the amplifier to prove it.';
