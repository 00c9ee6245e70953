import { escapeHtml } from '../../model/escape-html.ts';
import type { SessionInput } from '../../model/session-input.ts';
import { settingsInOrder } from '../../model/setting-range.ts';
import type { StickFile } from '../stick-files.ts';
import { benchGroups, unnamedGroups } from './bench-groups.ts';
import { benchSheetPage } from './bench-sheet-page.ts';
import { cautions, recorderSteps, stickUses, tapSteps } from './bench-sheet-words.ts';
import { padDrawing } from './pad-drawing.ts';
import { padTable } from './pad-table.ts';
import { tableRow } from './table-row.ts';
import { type Take, takeList } from './take-list.ts';
import { wiresTable } from './wires-table.ts';

/**
 * The sheet to print and take to the car, as one self-contained HTML page: take list with blanks in front, wiring, pad
 * and cautions behind it.
 *
 * @param settings volume settings to list; those of the session, or blanks, where none are given
 * @param session names the taps, their recordings and what is known of their wires; blanks where there is none
 * @param files what was written to the stick
 */
export function benchSheet({
  settings,
  session,
  files,
}: {
  settings?: readonly number[] | undefined;
  session?: SessionInput | undefined;
  files: readonly StickFile[];
}): string {
  const groups = session === undefined ? unnamedGroups() : benchGroups(session);
  const listed = settings ?? settingsInOrder({ given: session?.settings ?? [], where: 'settings' });
  return benchSheetPage({
    title: 'Steptone bench sheet',
    front: [
      job(session?.name),
      `<p class="stop"><strong>First:</strong> ${cautions.brief}</p>`,
      `<h2>Before the first take</h2>${wiresTable(groups)}${beforeTheFirstTake()}`,
      `<h2>Takes</h2>${takeTable(takeList(listed, groups, session?.otherSource))}`,
    ],
    back: [
      `<h2>Cautions</h2>${list('ul', cautions.full)}`,
      `<h2>At the tap</h2>${list('ol', tapSteps)}`,
      `<h2>Pad</h2>${padDrawing()}${padTable()}`,
      `<h2>At the recorder</h2>${list('ol', recorderSteps)}`,
      `<h2>On the stick</h2>${stickTable(files)}`,
    ],
  });
}

function job(name = ''): string {
  const blanks = ['Car and radio', 'Date', 'Recorder, kHz, bits', 'Source', 'Supply on a charger: yes / no'];
  const ticks = (names: readonly string[]) => names.map((one) => `<span>${box}${one}</span>`).join(' ');
  return (
    `<p class="blanks">${blanks.map((blank, i) => `<span>${blank}: ${i === 0 ? escapeHtml(name) : ''}</span>`).join('')}</p>` +
    `<p class="ticks">At centre: ${ticks(['bass', 'middle', 'treble', 'balance', 'fade'])} Off: ${ticks(['loudness', 'sound effects', 'volume that follows speed'])}</p>`
  );
}

function beforeTheFirstTake(): string {
  return (
    '<p>About half the supply on both wires: the output is bridged, and neither may touch chassis. About zero on one: that is its ground side.</p>' +
    '<p>Meter across tap A left while the 100 Hz meter tone at −10 dB plays and is recorded: ' +
    '<span class="gap"></span> V RMS, file <span class="gap"></span> channel <span class="gap short"></span></p>'
  );
}

function takeTable(takes: readonly Take[]): string {
  const head = tableRow('th', ['No.', 'Take', 'Setting', 'Play', 'File', 'Supply', 'Remarks', 'Done']);
  const rows = takes.map(({ number, what, setting, play, file }) =>
    tableRow('td', [
      `${number}`,
      escapeHtml(what),
      setting === 'none' ? '–' : `${setting ?? ''}`,
      play,
      escapeHtml(file),
      'V',
      '',
      box,
    ]),
  );
  return `<table class="takes"><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>`;
}

function stickTable(files: readonly StickFile[]): string {
  const rows = stickUses(files).map(({ names, use }) => tableRow('td', [names.join('<br>'), use]));
  return `<table class="stick"><thead>${tableRow('th', ['File', 'What for'])}</thead><tbody>${rows.join('')}</tbody></table>`;
}

const box = '<span class="box"></span>';

function list(kind: 'ol' | 'ul', items: readonly string[]): string {
  return `<${kind}>${items.map((item) => `<li>${item}</li>`).join('')}</${kind}>`;
}
