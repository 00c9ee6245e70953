import { ratioOf } from '../dsp/decibels.ts';
import { findingsOf } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import { isTrusted } from '../model/response.ts';
import type { MeasurementRecord, ResponseRecord, Results } from '../model/results.ts';
import { HEADINGS } from '../words/curve-headings.ts';
import { type CsvCell, csvPieces } from './csv.ts';

interface CurveTable {
  readonly fileName: string;
  /** Made piece by piece while it is written: of a large session it is a hundred megabytes. */
  readonly pieces: Iterable<string>;
}

/**
 * The curves of results as tables for a spreadsheet, one file a subject, units in the headers. Volts are RMS at the tap
 * and empty where the recordings are not calibrated; levels are for a full-scale sine in the track (AES17).
 */
export function curveTables(results: Results): CurveTable[] {
  return [
    { fileName: 'responses.csv', pieces: responses(results) },
    { fileName: 'ladders.csv', pieces: ladders(results) },
    { fileName: 'volume-law.csv', pieces: volumeLaw(results) },
  ];
}

const PROGRAMMES = [
  ['left', ({ left }: MeasurementRecord) => left],
  ['right', ({ right }: MeasurementRecord) => right],
  ['both, low drive', ({ bothLowDrive }: MeasurementRecord) => bothLowDrive],
] as const;

function responses({ measurements, frequencyHz }: Results): Iterable<string> {
  return csvPieces({
    header: [
      HEADINGS.tap,
      HEADINGS.setting,
      HEADINGS.programme,
      HEADINGS.frequency,
      HEADINGS.level,
      HEADINGS.volts,
      HEADINGS.phase,
      HEADINGS.trusted,
    ],
    rows: groups(measurements, (measurement) =>
      PROGRAMMES.flatMap(([programme, responseOf]) => {
        const response = responseOf(measurement);
        return response === null ? [] : responseRows(measurement, { programme, response, frequencyHz });
      }),
    ),
  });
}

function responseRows(
  { tapId, setting, voltsPerFullScale }: MeasurementRecord,
  of: { programme: string; response: ResponseRecord; frequencyHz: readonly number[] },
): CsvCell[][] {
  const { magnitudeDb, phaseDegrees, trustedHz } = of.response;
  return of.frequencyHz.map((hz, i) => [
    tapId,
    setting,
    of.programme,
    hz,
    magnitudeDb[i],
    voltsPerFullScale === null ? null : significant(voltsPerFullScale.volts * ratioOf(magnitudeDb[i])),
    phaseDegrees[i],
    isTrusted({ trustedHz }, hz) ? 'yes' : 'no',
  ]);
}

function ladders({ measurements }: Results): Iterable<string> {
  return csvPieces({
    header: [
      HEADINGS.tap,
      HEADINGS.setting,
      HEADINGS.tone,
      HEADINGS.drive,
      HEADINGS.level,
      HEADINGS.volts,
      HEADINGS.distortion,
      HEADINGS.beforeFilters,
      HEADINGS.harmonic,
    ],
    rows: groups(measurements, ({ tapId, setting, voltsPerFullScale, ladders: tones }) =>
      tones.flatMap(({ toneHz, highestHarmonic, steps }) =>
        steps.map(({ driveDbFs, levelDbFs, thd, thdBeforeFilters }) => [
          tapId,
          setting,
          toneHz,
          driveDbFs,
          levelDbFs,
          voltsPerFullScale === null ? null : significant(voltsPerFullScale.volts * ratioOf(levelDbFs)),
          significant(100 * thd),
          thdBeforeFilters === null ? null : significant(100 * thdBeforeFilters),
          highestHarmonic,
        ]),
      ),
    ),
  });
}

function volumeLaw({ findings }: Results): Iterable<string> {
  return csvPieces({
    header: [HEADINGS.tap, HEADINGS.setting, HEADINGS.level, HEADINGS.volts, HEADINGS.uncertainty],
    rows: groups(findingsOf(findings, 'volume-law'), ({ tapIds, levels }) =>
      levels.map(({ setting, levelDbFs, voltsRms }) => [
        tapIds.join(' '),
        setting,
        significant(levelDbFs),
        ...(isNotMeasurable(voltsRms)
          ? [null, null]
          : [significant(voltsRms.value), significant(voltsRms.plusMinus)]),
      ]),
    ),
  });
}

function* groups<Item>(items: readonly Item[], rowsOf: (item: Item) => CsvCell[][]): Generator<CsvCell[][]> {
  for (const item of items) yield rowsOf(item);
}

/** Six digits, as the results file keeps. */
function significant(value: number): number {
  return Number(value.toPrecision(6));
}
