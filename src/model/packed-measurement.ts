import { z } from 'zod';
import { packNumbers, unpackNumbers } from './packed-numbers.ts';
import {
  type LadderRecord,
  ladderRecordSchema,
  type MeasurementRecord,
  measurementRecordSchema,
  type ResponseRecord,
} from './results.ts';

/** Series as `packed-numbers.ts` writes them, each a text; the steps stand below. */
const packedResponseSchema = z.object({
  magnitude: z.string(),
  phase: z.string(),
  trustedHz: z.tuple([z.number(), z.number()]).nullable(),
});
const packedLadderSchema = z.object({
  ...ladderRecordSchema.omit({ steps: true }).shape,
  drive: z.string(),
  level: z.string(),
  sigma: z.string(),
  peak: z.string(),
  thd: z.string(),
  thdBeforeFilters: z.string(),
  thdNoise: z.string(),
  /** Harmonics 2, 3, ... */
  harmonics: z.array(z.string()),
});

/** A measurement of a large session, with every curve as a short text. */
export const packedMeasurementSchema = measurementRecordSchema.extend({
  left: packedResponseSchema,
  right: packedResponseSchema,
  bothLowDrive: packedResponseSchema.nullable(),
  ladders: z.array(packedLadderSchema),
});
type PackedMeasurement = z.infer<typeof packedMeasurementSchema>;
type PackedResponse = z.infer<typeof packedResponseSchema>;
type PackedLadder = z.infer<typeof packedLadderSchema>;

/** Finer than anything that a recording in a bay tells (`tests/accuracy/README.md`: 0.0007 dB at best). */
const MAGNITUDE_STEP_DB = 0.001;
const PHASE_STEP_DEGREES = 0.01;
/** What stands nowhere clear of its noise has no finer digits. */
const UNTRUSTED_STEP_DB = 0.5;
const UNTRUSTED_STEP_DEGREES = 5;
/** Steps of ladders: levels as fine as responses; drives of the track are half decibels. */
const LEVEL_STEP_DB = 0.001;
const DRIVE_STEP_DB = 0.01;
/** Ratios, by their logarithm: a thousandth of the value, and a fiftieth of what only says how uncertain another is. */
const RATIO_STEP = 0.001;
const UNCERTAINTY_STEP = 0.02;
/** Ratios below this are as good as nothing: -180 dB. */
const LEAST_RATIO = 1e-9;

/** @throws RangeError for a number that is none */
export function packMeasurement(record: MeasurementRecord): PackedMeasurement {
  const { left, right, bothLowDrive, ladders, ...rest } = record;
  return {
    ...rest,
    left: packResponse(left),
    right: packResponse(right),
    bothLowDrive: bothLowDrive === null ? null : packResponse(bothLowDrive),
    ladders: ladders.map(packLadder),
  };
}

/** The measurement again; null where a text was damaged. */
export function unpackMeasurement(packed: PackedMeasurement): MeasurementRecord | null {
  const { left, right, bothLowDrive, ladders, ...rest } = packed;
  const responses = [left, right, ...(bothLowDrive === null ? [] : [bothLowDrive])].map(unpackResponse);
  const steps = ladders.map(unpackLadder);
  if (responses.includes(null) || steps.includes(null)) return null;
  const [leftAgain, rightAgain, bothAgain = null] = responses as ResponseRecord[];
  return {
    ...rest,
    left: leftAgain,
    right: rightAgain,
    bothLowDrive: bothAgain,
    ladders: steps as LadderRecord[],
  };
}

function packResponse({ magnitudeDb, phaseDegrees, trustedHz }: ResponseRecord): PackedResponse {
  const [db, degrees] = responseSteps(trustedHz);
  return {
    magnitude: packNumbers(magnitudeDb, db),
    phase: packNumbers(unwrapped(phaseDegrees), degrees),
    trustedHz,
  };
}

function unpackResponse({ magnitude, phase, trustedHz }: PackedResponse): ResponseRecord | null {
  const [db, degrees] = responseSteps(trustedHz);
  const magnitudeDb = unpackNumbers(magnitude, db);
  const phaseDegrees = unpackNumbers(phase, degrees);
  if (magnitudeDb === null || phaseDegrees === null) return null;
  return { magnitudeDb, phaseDegrees: phaseDegrees.map(wrapped), trustedHz };
}

function responseSteps(trustedHz: ResponseRecord['trustedHz']): [number, number] {
  return trustedHz === null
    ? [UNTRUSTED_STEP_DB, UNTRUSTED_STEP_DEGREES]
    : [MAGNITUDE_STEP_DB, PHASE_STEP_DEGREES];
}

/** Without the jumps of whole turns, which would not be smooth. */
function unwrapped(degrees: readonly number[]): number[] {
  let turns = 0;
  return degrees.map((value, i) => {
    if (i > 0) turns -= 360 * Math.round((value - degrees[i - 1]) / 360);
    return value + turns;
  });
}

function wrapped(degrees: number): number {
  return Number((degrees - 360 * Math.round(degrees / 360)).toFixed(2));
}

function packLadder({ steps, ...rest }: LadderRecord): PackedLadder {
  const column = (numberOf: (step: LadderRecord['steps'][number]) => number, size: number) =>
    packNumbers(steps.map(numberOf), size);
  const harmonics = steps.reduce((most, step) => Math.max(most, step.harmonics.length), 0);
  return {
    ...rest,
    drive: column(({ driveDbFs }) => driveDbFs, DRIVE_STEP_DB),
    level: column(({ levelDbFs }) => levelDbFs, LEVEL_STEP_DB),
    sigma: column(({ levelSigmaDb }) => logOf(levelSigmaDb), UNCERTAINTY_STEP),
    peak: column(({ peakDbFs }) => peakDbFs, LEVEL_STEP_DB),
    thd: column(({ thd }) => logOf(thd), RATIO_STEP),
    thdBeforeFilters: column(
      ({ thdBeforeFilters }) => (thdBeforeFilters === null ? NOTHING : logOf(thdBeforeFilters)),
      RATIO_STEP,
    ),
    thdNoise: column(({ thdNoise }) => logOf(thdNoise), UNCERTAINTY_STEP),
    harmonics: Array.from({ length: harmonics }, (_, k) =>
      column(
        (step) => (step.harmonics[k] === undefined ? NOTHING : logOf(step.harmonics[k])),
        UNCERTAINTY_STEP,
      ),
    ),
  };
}

function unpackLadder(packed: PackedLadder): LadderRecord | null {
  const { drive, level, sigma, peak, thd, thdBeforeFilters, thdNoise, harmonics, ...rest } = packed;
  const columns = [
    unpackNumbers(drive, DRIVE_STEP_DB),
    unpackNumbers(level, LEVEL_STEP_DB),
    unpackNumbers(sigma, UNCERTAINTY_STEP),
    unpackNumbers(peak, LEVEL_STEP_DB),
    unpackNumbers(thd, RATIO_STEP),
    unpackNumbers(thdBeforeFilters, RATIO_STEP),
    unpackNumbers(thdNoise, UNCERTAINTY_STEP),
    ...harmonics.map((text) => unpackNumbers(text, UNCERTAINTY_STEP)),
  ];
  const length = columns[0]?.length;
  if (columns.some((column) => column === null || column.length !== length)) return null;
  const [drives, levels, sigmas, peaks, thds, before, noises, ...ratios] = columns as number[][];
  const steps = drives.map((driveDbFs, i) => ({
    driveDbFs,
    levelDbFs: levels[i],
    levelSigmaDb: ratioOf(sigmas[i]),
    harmonics: ratios.flatMap((column) => (column[i] === NOTHING ? [] : [ratioOf(column[i])])),
    thd: ratioOf(thds[i]),
    thdBeforeFilters: before[i] === NOTHING ? null : ratioOf(before[i]),
    thdNoise: ratioOf(noises[i]),
    peakDbFs: peaks[i],
  }));
  return { ...rest, steps };
}

/** Stands for a number that is not there; logarithms begin at 0. */
const NOTHING = -1;

function logOf(ratio: number): number {
  return ratio < LEAST_RATIO ? 0 : Math.log(ratio / LEAST_RATIO);
}

function ratioOf(log: number): number {
  return log === 0 ? 0 : Number((LEAST_RATIO * Math.exp(log)).toPrecision(5));
}
