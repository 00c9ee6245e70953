import type { TapMeasurement } from './measurement.ts';
import type { FrequencyResponse } from './response.ts';
import type { MeasurementRecord, ResponseRecord } from './results.ts';

/** Steps to which numbers are kept in the results file, each far below what can be measured. */
const MAGNITUDE_STEP_DB = 0.0001;
const PHASE_STEP_DEGREES = 0.001;
const SIGNIFICANT_DIGITS = 6;

/** A measurement as the results file holds it. */
export function toRecord(measurement: TapMeasurement): MeasurementRecord {
  const { left, right, bothLowDrive, ladders, noise, leadInExcessDb, ...rest } = measurement;
  return {
    ...rest,
    evidence: [...rest.evidence],
    left: responseRecord(left),
    right: responseRecord(right),
    bothLowDrive: bothLowDrive === null ? null : responseRecord(bothLowDrive),
    ladders: ladders.map((ladder) => ({
      ...ladder,
      steps: ladder.steps.map((step) => ({
        driveDbFs: step.driveDbFs,
        levelDbFs: short(step.levelDbFs),
        levelSigmaDb: short(step.levelSigmaDb),
        harmonics: step.harmonics.map(short),
        thd: short(step.thd),
        thdBeforeFilters: step.thdBeforeFilters === null ? null : short(step.thdBeforeFilters),
        thdNoise: short(step.thdNoise),
        peakDbFs: short(step.peakDbFs),
      })),
    })),
    ...(leadInExcessDb == null ? {} : { leadInExcessDb: short(leadInExcessDb) }),
    noise:
      noise === null
        ? null
        : {
            ...noise,
            lines: noise.lines.map((l) => ({
              frequencyHz: short(l.frequencyHz),
              levelDbFs: short(l.levelDbFs),
            })),
          },
  };
}

/** The measurement again; the noise beside a response is not kept, so its sigma is zero. */
export function fromRecord(record: MeasurementRecord): TapMeasurement {
  return {
    ...record,
    left: responseFrom(record.left),
    right: responseFrom(record.right),
    bothLowDrive: record.bothLowDrive === null ? null : responseFrom(record.bothLowDrive),
  };
}

function responseRecord({ real, imag, trustedHz }: FrequencyResponse): ResponseRecord {
  return {
    magnitudeDb: Array.from(real, (re, i) =>
      toStep(20 * Math.log10(Math.sqrt(re * re + imag[i] * imag[i]) + 1e-15), MAGNITUDE_STEP_DB),
    ),
    phaseDegrees: Array.from(real, (re, i) =>
      toStep((Math.atan2(imag[i], re) * 180) / Math.PI, PHASE_STEP_DEGREES),
    ),
    trustedHz: trustedHz === null ? null : [short(trustedHz[0]), short(trustedHz[1])],
  };
}

function responseFrom({ magnitudeDb, phaseDegrees, trustedHz }: ResponseRecord): FrequencyResponse {
  const polar = (part: (angle: number) => number) =>
    Float64Array.from(magnitudeDb, (db, i) => 10 ** (db / 20) * part((phaseDegrees[i] * Math.PI) / 180));
  return {
    real: polar(Math.cos),
    imag: polar(Math.sin),
    sigma: new Float64Array(magnitudeDb.length),
    trustedHz,
  };
}

function toStep(value: number, step: number): number {
  return Math.round(value / step) / Math.round(1 / step);
}

function short(value: number): number {
  return Number(value.toPrecision(SIGNIFICANT_DIGITS));
}
