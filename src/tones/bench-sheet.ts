import { benchSheetPage } from './bench-sheet-page.ts';
import { cautions, recorderSteps, stickUses, tapSteps } from './bench-sheet-words.ts';
import { type Pad, padFigures } from './pad.ts';
import { padDrawing } from './pad-drawing.ts';
import type { StickFile } from './stick-files.ts';
import { type Take, takeList } from './take-list.ts';

/** Pads in values of the E24 series (IEC 60063), half of the series resistance in each wire. */
const PADS: readonly {
  readonly pad: Pad;
  readonly each: string;
  readonly forTaps: string;
  readonly tapVolts: readonly number[];
}[] = [
  // 10.2 V: a bridged stage at 14.4 V just before it clips; 14.4 V: the same stage clipped into a square wave.
  {
    pad: { seriesOhms: 1020, shuntOhms: 100 },
    each: '2 x 510 ohm, 100 ohm',
    forTaps: "the radio's own outputs",
    tapVolts: [10.2, 14.4],
  },
  {
    pad: { seriesOhms: 2400, shuntOhms: 100 },
    each: '2 x 1.2 kohm, 100 ohm',
    forTaps: 'a factory amplifier',
    tapVolts: [20, 25],
  },
];
/** Input of a line recorder (common practice). */
const RECORDER_OHMS = 10_000;
/** A resistor is chosen for twice the heat that it sees (common practice). */
const HEAT_MARGIN = 2;
const RESISTOR_WATTS = [0.25, 0.5, 1, 2, 5];

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
  const head = row('th', [
    'Pair',
    'Which outputs (place, load)',
    'Left +, DC to chassis',
    'Left −',
    'Right +',
    'Right −',
    'Supply V',
  ]);
  const rows = PAIRS.map((pair) => row('td', [pair, '', 'V', 'V', 'V', 'V', 'V']));
  return (
    `<table class="wires"><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>` +
    '<p>About half the supply on both wires: bridged, neither may touch chassis. About zero on one: that one is its ground side.</p>' +
    '<p>Volts: meter across tap A left while the 100 Hz meter tone at −10 dB plays and is recorded: ' +
    '<span class="gap"></span> V RMS, file <span class="gap"></span>, channel <span class="gap short"></span></p>'
  );
}

function takeTable(takes: readonly Take[]): string {
  const head = row('th', [
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
    row('td', [`${number}`, what, setting === 'none' ? '–' : `${setting ?? ''}`, play, '', '', '', box]),
  );
  return `<table class="takes"><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>`;
}

function padTable(): string {
  const head = row('th', [
    'For',
    'Resistors (1 %)',
    'Ratio to enter',
    'At the tap',
    'At the recorder',
    'Heat in each series resistor',
    'Use',
  ]);
  const rows = PADS.flatMap(({ pad, each, forTaps, tapVolts }) =>
    tapVolts.map((sourceVolts) => {
      const figures = padFigures(pad, { sourceVolts, sourceOhms: 0, recorderOhms: RECORDER_OHMS });
      const watts = figures.seriesWatts / 2;
      const rating = RESISTOR_WATTS.find((size) => size >= HEAT_MARGIN * watts);
      return row('td', [
        ...[forTaps, each, (sourceVolts / figures.recorderVolts).toFixed(2), `${sourceVolts} V RMS`],
        ...[
          `${figures.recorderVolts.toFixed(3)} V (${figures.gainDb.toFixed(1)} dB)`,
          `${watts.toFixed(3)} W`,
          `${rating} W parts`,
        ],
      ]);
    }),
  );
  const small = padFigures(
    { seriesOhms: 470, shuntOhms: 56 },
    { sourceVolts: 20, sourceOhms: 0.1, recorderOhms: RECORDER_OHMS },
  );
  return (
    `<table><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>` +
    `<p>Worked for a recorder input of 10 kohm. What arrives must stay below the recorder's highest input: many line inputs stop ` +
    `at 1 to 2 V RMS. Measure the resistors and take their values if you can. Smaller ones get ` +
    `hot: 470 and 56 ohm on 20 V put ${small.seriesWatts.toFixed(2)} W into the 470 ohm, too much for a half-watt part.</p>`
  );
}

function stickTable(files: readonly StickFile[]): string {
  const rows = stickUses(files).map(({ names, use }) => row('td', [names.join('<br>'), use]));
  return `<table class="stick"><thead>${row('th', ['File', 'What for'])}</thead><tbody>${rows.join('')}</tbody></table>`;
}

const box = '<span class="box"></span>';

function row(cell: 'th' | 'td', texts: readonly string[]): string {
  const open = cell === 'th' ? '<th scope="col">' : '<td>';
  return `<tr>${texts.map((text) => `${open}${text}</${cell}>`).join('')}</tr>`;
}

function list(kind: 'ol' | 'ul', items: readonly string[]): string {
  return `<${kind}>${items.map((item) => `<li>${item}</li>`).join('')}</${kind}>`;
}
