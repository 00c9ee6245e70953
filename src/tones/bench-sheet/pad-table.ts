import { dividerAt } from '../../dsp/divider.ts';
import { tableRow } from './table-row.ts';

/** The pads of the bench sheet, worked out: what to build, what arrives, and how hot it gets. */
export function padTable(): string {
  const head = tableRow('th', [
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
      const figures = dividerAt({ ...pad, sourceOhms: 0, loadOhms: RECORDER_OHMS }, sourceVolts);
      const watts = figures.seriesWatts / 2;
      const rating = RESISTOR_WATTS.find((size) => size >= HEAT_MARGIN * watts);
      return tableRow('td', [
        ...[forTaps, each, (sourceVolts / figures.outputVolts).toFixed(2), `${sourceVolts} V RMS`],
        ...[
          `${figures.outputVolts.toFixed(3)} V (${figures.lossDb.toFixed(1)} dB)`,
          `${watts.toFixed(3)} W`,
          `${rating} W parts`,
        ],
      ]);
    }),
  );
  const small = dividerAt({ seriesOhms: 470, shuntOhms: 56, sourceOhms: 0.1, loadOhms: RECORDER_OHMS }, 20);
  return (
    `<table><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>` +
    `<p>Worked out for a recorder input of 10 kohm. What arrives must stay below the recorder's highest input: many line inputs stop ` +
    `at 1 to 2 V RMS. Measure the resistors and use those values if you can. Smaller ones get ` +
    `hot: 470 and 56 ohm on 20 V put ${small.seriesWatts.toFixed(2)} W into the 470 ohm, too much for a half-watt part.</p>`
  );
}

/** Pads in values of the E24 series (IEC 60063), half of the series resistance in each wire. */
const PADS: readonly {
  /** All series resistance, both wires together, and what lies across the recorder's input. */
  readonly pad: { readonly seriesOhms: number; readonly shuntOhms: number };
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
