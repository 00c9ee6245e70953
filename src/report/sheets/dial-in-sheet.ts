import type { Recommendation } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';
import { type Html, html } from '../html.ts';
import { NO_IMAGES, type PhotoImages } from '../photos.ts';
import { inOrder } from '../sections/dial-in-section.ts';
import { say, sentenceHtml } from '../sentence.ts';
import { tapNoteLine } from '../tap-notes.ts';
import { tapLabelOf } from '../verdicts.ts';
import { recommendationWords } from '../wording/recommendation-words.ts';
import { told } from '../wording/statement.ts';
import { photoSection } from './photo-section.ts';
import { blank, sheetList, sheetPage, sheetSection, tickBox } from './sheet-page.ts';

/** Everything to set, in the order of work: target, reading to write down, box to tick, and what a wrong reading means. */
export function renderDialInSheet(results: Results, images: PhotoImages = NO_IMAGES): string {
  const label = tapLabelOf(results);
  const rows = inOrder(results).flatMap((item) => {
    const { step } = recommendationWords(item, label);
    return step === null ? [] : [{ ...step, wrong: wrongReading(item), wires: wireLines(results, item) }];
  });
  const table = html`<table>
<thead><tr><th scope="col">Step</th><th scope="col">Where</th><th scope="col">Set to</th><th scope="col">Check</th><th scope="col">Read</th><th scope="col">Done</th><th scope="col">Wrong reading: then check</th></tr></thead>
<tbody>${rows.map(
    (row, i) =>
      html`<tr><td>${i + 1}</td><th scope="row">${row.where}</th><td>${sentenceHtml(row.setTo)}${row.wires}</td><td>${sentenceHtml(row.check)}</td><td>${blank()}</td><td>${tickBox()}</td><td>${row.wrong}</td></tr>`,
  )}</tbody></table>`;
  return sheetPage({
    title: 'Dial-in sheet',
    name: results.session.name,
    body: html`${sheetSection('Before the first tone', sheetList(BEFORE))}${sheetSection('In the order of work', table)}${sheetSection('At the end', sheetList(AFTER))}${photoSection(results, images)}`,
  });
}

/** Where the taps of a feed are, as noted in the bay. */
function wireLines({ session }: Results, item: Recommendation): Html[] {
  if (item.kind !== 'feed') return [];
  return item.taps.flatMap(({ tapId }) => {
    const tap = session.taps.find(({ id }) => id === tapId);
    const line = tap === undefined ? '' : tapNoteLine(tap);
    return tap === undefined || line === '' ? [] : [html`<br>${tap.label}: ${line}.`];
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

const AFTER = [
  told(
    say`Take the stick out. Check the sleep current. Record again behind the converter and the amplifier to prove it.`,
  ),
];

/** What is likely when a step does not come out (common practice). */
function wrongReading(item: Recommendation): string {
  switch (item.kind) {
    case 'feed':
      return item.summed
        ? 'Thin or hollow sound: plus and minus of one tap are swapped. One side only: a pair is not connected.'
        : 'Nothing: the output mutes without its load, or the pair is another one.';
    case 'converter-level':
      return 'Half: one leg was read, or balance and fade are off centre. Far off at one tone only: restoration or an EQ is on. Nothing: turn-on.';
    case 'amplifier-gain':
      return 'Too low at the stop of the knob: the converter is set too low. Too high at its lowest: the range switch. Falls with time: supply or ground.';
    case 'highest-clean-setting':
      return 'Lower: tone controls are not flat, or another source. Higher: the volume shown is not the one recorded.';
    case 'restoration':
      return 'No change between off and on: the control is not connected, or the test tone is too quiet for it.';
    case 'filter':
      return 'No change at the corner: the filter switch is off, or it acts on another pair.';
    case 'turn-on':
      return 'Goes off in quiet passages: use the switched line. Stays on: the line is not switched.';
    default:
      return 'Measure at the step before.';
  }
}
