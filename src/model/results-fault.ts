import { gridFrequencyHz } from './frequency-grid.ts';
import type { MeasurementRecord, ResponseRecord, Results } from './results.ts';

/** What is wrong in results whose fields are right one by one. */
interface ResultsFault {
  readonly field: string;
  readonly expected: string;
  readonly found: string;
}

/** Frequencies are written with six digits. */
const SAME_FREQUENCY = 1e-4;

/** Holds results to themselves: lengths, taps and settings that exist, at least one measurement. Null where all is well. */
export function resultsFault(results: Results): ResultsFault | null {
  const { frequencyHz, measurements, findings, recommendations, session } = results;
  const taps = new Set(session.taps.map(({ id }) => id));
  const settings = new Set(session.settings);
  if (measurements.length === 0) return { field: 'measurements', expected: 'at least one', found: 'none' };
  if (!isGrid(frequencyHz))
    return {
      field: 'frequencyHz',
      expected: `the ${gridFrequencyHz.length} frequencies of every results file`,
      found: `${frequencyHz.length} others`,
    };
  const unknown = (field: string, tapId: string): ResultsFault => ({
    field,
    expected: `a tap of the session (${[...taps].slice(0, 16).join(', ')})`,
    found: `'${tapId}'`,
  });
  for (const [i, measurement] of measurements.entries()) {
    const field = `measurements.${i}`;
    if (!taps.has(measurement.tapId)) return unknown(`${field}.tapId`, measurement.tapId);
    if (!settings.has(measurement.setting))
      return {
        field: `${field}.setting`,
        expected: 'a setting of the session',
        found: `${measurement.setting}`,
      };
    const fault = measurementFault(measurement, field);
    if (fault !== null) return fault;
  }
  for (const [i, { tapIds }] of findings.entries()) {
    const strange = tapIds.find((tapId) => !taps.has(tapId));
    if (strange !== undefined) return unknown(`findings.${i}.tapIds`, strange);
  }
  for (const [i, recommendation] of recommendations.entries()) {
    const strange = tapsOf(recommendation).find((tapId) => !taps.has(tapId));
    if (strange !== undefined) return unknown(`recommendations.${i}`, strange);
  }
  return null;
}

function isGrid(frequencyHz: readonly number[]): boolean {
  return (
    frequencyHz.length === gridFrequencyHz.length &&
    frequencyHz.every((hz, i) => Math.abs(hz / gridFrequencyHz[i] - 1) < SAME_FREQUENCY)
  );
}

function measurementFault({ left, right, bothLowDrive }: MeasurementRecord, at: string): ResultsFault | null {
  const responses: [string, ResponseRecord | null][] = [
    ['left', left],
    ['right', right],
    ['bothLowDrive', bothLowDrive],
  ];
  for (const [name, response] of responses) {
    if (response === null) continue;
    const { magnitudeDb, phaseDegrees, trustedHz } = response;
    const field = `${at}.${name}`;
    for (const [part, { length }] of [
      ['magnitudeDb', magnitudeDb],
      ['phaseDegrees', phaseDegrees],
    ] as const) {
      if (length !== gridFrequencyHz.length)
        return {
          field: `${field}.${part}`,
          expected: `${gridFrequencyHz.length} numbers`,
          found: `${length}`,
        };
    }
    if (trustedHz !== null && !(trustedHz[0] > 0 && trustedHz[0] <= trustedHz[1]))
      return { field: `${field}.trustedHz`, expected: 'a rising range', found: trustedHz.join(' to ') };
  }
  return null;
}

function tapsOf(recommendation: Results['recommendations'][number]): string[] {
  const { kind } = recommendation;
  if (kind === 'feed') return recommendation.taps.map(({ tapId }) => tapId);
  return kind === 'confirm' ? [recommendation.tapId] : [];
}
