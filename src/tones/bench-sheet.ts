import { benchSheetPage } from './bench-sheet-page.ts';
import { cautions, recorderSteps, stickUses, tapSteps } from './bench-sheet-words.ts';
import { padDrawing } from './pad-drawing.ts';
import { padTable } from './pad-table.ts';
import type { StickFile } from './stick-files.ts';
import { tableRow } from './table-row.ts';
import { type Take, takeList } from './take-list.ts';

const PAIRS = ['A', 'B', 'C', 'D'];

/**
 * The sheet to print and take to the car, as one self-contained HTML page: take list with blanks in front, wiring, pad
 * and cautions behind it.
 *
 * @param settings volume settings to list; blanks where none are given
 * @param files what was written to the stick
 */
export function benchSheet({
  settings,
  files,
}: {
  settings?: readonly number[];
  files: readonly StickFile[];
}): string {
  return benchSheetPage({
    title: 'Steptone bench sheet',
    front: [
      job(),
      `<p class="stop"><strong>First:</strong> ${cautions.brief}</p>`,
      `<h2>Before the first take</h2>${wiresTable()}`,
      `<h2>Takes</h2>${takeTable(takeList(settings))}`,
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

function job(): string {
  const blanks = ['Car', 'Radio', 'Date', 'Recorder, kHz, bits', 'Source', 'Supply on a charger: yes / no'];
  const ticks = ['bass', 'middle', 'treble', 'balance', 'fade'].map(
    (name) => `<span>${box}${name} at centre</span>`,
  );
  const off = ['loudness', 'sound effects', 'volume that follows speed'].map(
    (name) => `<span>${box}${name} off</span>`,
  );
  return (
    `<p class="blanks">${blanks.map((name) => `<span>${name}:</span>`).join('')}</p>` +
    `<p class="ticks">${[...ticks, ...off].join(' ')}</p>`
  );
}

function wiresTable(): string {
  const head = tableRow('th', [
    'Pair',
    'Which outputs (place, load)',
    'Left +, DC to chassis',
    'Left −',
    'Right +',
    'Right −',
    'Supply V',
  ]);
  const rows = PAIRS.map((pair) => tableRow('td', [pair, '', 'V', 'V', 'V', 'V', 'V']));
  return (
    `<table class="wires"><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>` +
    '<p>About half the supply on both wires: bridged, neither may touch chassis. About zero on one: that one is its ground side.</p>' +
    '<p>Volts: meter across tap A left while the 100 Hz meter tone at −10 dB plays and is recorded: ' +
    '<span class="gap"></span> V RMS, file <span class="gap"></span>, channel <span class="gap short"></span></p>'
  );
}

function takeTable(takes: readonly Take[]): string {
  const head = tableRow('th', [
    'No.',
    'Take',
    'Setting',
    'Play',
    'File on the recorder',
    'Supply V',
    'Remarks',
    'Done',
  ]);
  const rows = takes.map(({ number, what, setting, play }) =>
    tableRow('td', [`${number}`, what, setting === 'none' ? '–' : `${setting ?? ''}`, play, '', '', '', box]),
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
