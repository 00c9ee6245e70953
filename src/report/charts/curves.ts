import { ratioOf } from '../../dsp/decibels.ts';
import { mean } from '../../dsp/statistics.ts';
import type { MeasurementRecord, ResponseRecord, Results } from '../../model/results.ts';
import type { Programme } from '../../tones/track.ts';
import { fixed } from '../format.ts';

/** A response on the grid of the results, decibels; null where it is not trusted. */
export type CurveDb = readonly (number | null)[];

/** Number of a tap in the session, for ids that hold no text of the user's. */
export function tapNumber(results: Results, tapId: string): number {
  return results.session.taps.findIndex((tap) => tap.id === tapId) + 1;
}

/** A decibel in a table beside a picture. */
export function decibelCell(db: number | null): string {
  return db === null ? 'not trusted' : fixed(db, 1);
}

/** Measurements of one tap, settings ascending. */
export function measurementsOf(results: Results, tapId: string): MeasurementRecord[] {
  return results.measurements
    .filter((measurement) => measurement.tapId === tapId)
    .sort((a, b) => a.setting - b.setting);
}

export interface RelativeCurve {
  readonly setting: number;
  readonly curve: CurveDb;
}

/** Curves of one tap against the mean level of its own band; settings in which nothing is trusted are left out. */
export function relativeCurves(results: Results, tapId: string): RelativeCurve[] {
  const measurements = measurementsOf(results, tapId);
  if (measurements.length === 0) return [];
  const { frequencyHz } = results;
  const programme = strongerProgramme(measurements[measurements.length - 1]);
  const curves = measurements.map((measurement) => curveDb({ measurement, programme, frequencyHz }));
  const first = curves.find((curve) => curve.some((db) => db !== null)) ?? curves[0];
  const bassOnly = curves.every((curve) => isBassOnly(curve, frequencyHz));
  const points = ownBand(first, { frequencyHz, bassOnly });
  return curves.flatMap((curve, i) => {
    const level = bassOnly ? levelOfBass(curve, first, points) : meanDb(curve, points);
    if (level === null) return [];
    return [
      { setting: measurements[i].setting, curve: curve.map((db) => (db === null ? null : db - level)) },
    ];
  });
}

/**
 * Level of an output that carries bass alone: there is nothing beside the bass to lay the curves over one another by, so
 * each is laid where it lost least, and what it lost shows as a loss instead of as added treble.
 */
function levelOfBass(curve: CurveDb, first: CurveDb, points: readonly number[]): number | null {
  const level = meanDb(first, points);
  const gained = points.flatMap((i) => {
    const [now, before] = [curve[i], first[i]];
    return now === null || before === null ? [] : [now - before];
  });
  return level === null || gained.length === 0 ? null : level + highest(gained);
}

/** The programme that the tap carries more of: the one worth drawing. */
function strongerProgramme(measurement: MeasurementRecord): 'left' | 'right' {
  return highest(trustedCurve(measurement.left)) >= highest(trustedCurve(measurement.right))
    ? 'left'
    : 'right';

  function trustedCurve(response: ResponseRecord): readonly number[] {
    return response.trustedHz === null ? [] : response.magnitudeDb;
  }
}

/** One programme of a measurement, untrusted points blanked. */
function curveDb({
  measurement,
  programme,
  frequencyHz,
}: {
  measurement: MeasurementRecord;
  programme: 'left' | 'right';
  frequencyHz: readonly number[];
}): CurveDb {
  const { magnitudeDb, trustedHz } = measurement[programme];
  if (trustedHz === null) return magnitudeDb.map(() => null);
  const [from, to] = trustedHz;
  return magnitudeDb.map((db, i) => (frequencyHz[i] >= from && frequencyHz[i] <= to ? db : null));
}

/** A band counts as the tap's own where it is within this of its highest level, above the bass where it has any there. */
const OWN_BAND_DB = 3;
const ABOVE_BASS_HZ = 300;
/** Bass that stands further above all else than a loudness contour lifts it is all that a tap carries (common practice). */
const BASS_ONLY_DB = 12;

/** Points of the grid by whose level a tap's curves are laid over one another: bass is left out, so that a loss there shows as one. */
function ownBand(
  curve: CurveDb,
  { frequencyHz, bassOnly }: { frequencyHz: readonly number[]; bassOnly: boolean },
): number[] {
  const known = knownPoints(curve).filter((i) => bassOnly || frequencyHz[i] >= ABOVE_BASS_HZ);
  const top = highest(known.map((i) => curve[i] as number));
  return known.filter((i) => (curve[i] as number) >= top - OWN_BAND_DB);
}

function isBassOnly(curve: CurveDb, frequencyHz: readonly number[]): boolean {
  const known = knownPoints(curve);
  const top = highest(known.map((i) => curve[i] as number));
  return !known.some((i) => frequencyHz[i] >= ABOVE_BASS_HZ && (curve[i] as number) >= top - BASS_ONLY_DB);
}

function knownPoints(curve: CurveDb): number[] {
  return curve.flatMap((db, i) => (db === null ? [] : [i]));
}

/** Mean of a curve over some points; null where none of them is known. */
function meanDb(curve: CurveDb, points: readonly number[]): number | null {
  const known = points.flatMap((i) => curve[i] ?? []);
  return known.length === 0 ? null : mean(known);
}

/** Complex response of a programme, as pairs of real and imaginary parts. */
export function complexOf(
  measurement: MeasurementRecord,
  programme: Programme,
): { re: number; im: number }[] {
  if (programme !== 'both') return phasors(measurement[programme]);
  const left = phasors(measurement.left);
  const right = phasors(measurement.right);
  return left.map((value, i) => ({ re: value.re + right[i].re, im: value.im + right[i].im }));
}

function phasors({ magnitudeDb, phaseDegrees }: ResponseRecord) {
  return magnitudeDb.map((db, i) => {
    const size = ratioOf(db);
    const angle = (phaseDegrees[i] * Math.PI) / 180;
    return { re: size * Math.cos(angle), im: size * Math.sin(angle) };
  });
}

function highest(values: readonly number[]): number {
  return values.reduce((top, value) => Math.max(top, value), Number.NEGATIVE_INFINITY);
}
