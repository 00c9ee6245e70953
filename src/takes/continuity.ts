import { ratioOf } from '../dsp/decibels.ts';
import { modulus } from '../dsp/modulus.ts';
import { type PhasePoint, phaseSlope } from '../dsp/phase-slope.ts';
import { mean } from '../dsp/statistics.ts';

/** One section against another that repeats its programme, on one channel, clocks corrected. */
export interface Repetition {
  /** Sections whose start it compares, by name; an earlier one that is made of two counts as both. */
  readonly earlier: readonly string[];
  readonly later: string;
  readonly one: ComplexWithNoise;
  readonly other: ComplexWithNoise;
  /** From when the earlier one passes a frequency to when the later one does. */
  readonly secondsBetween: Float64Array;
}

interface ComplexWithNoise {
  readonly real: Float64Array;
  readonly imag: Float64Array;
  readonly sigma: Float64Array;
}

/** Samples that are missing from a recording, or are there twice. */
interface TimeSlip {
  readonly after: string;
  readonly before: string;
  /** Negative where time was lost; null where a clock that differs hides how much and where. */
  readonly milliseconds: number | null;
}

export interface Continuity {
  readonly slip: TimeSlip | null;
  /** Sections whose phases do not fit those of their repetitions. */
  readonly torn: readonly string[];
}

export const CONTINUOUS: Continuity = { slip: null, torn: [] };

/** Limiters of the bass move its phase with the drive; time is read above (common practice: they end at 150 Hz). */
const FROM_HZ = 300;
/** At a lower one the phase of a point is off by 0.1 radian and more; so many points make a line (common practice). */
const LEAST_SNR = 10;
const LEAST_POINTS = 16;
/** Neighbouring points of the grid share a kernel: all of them would say no more. */
const EVERY_POINT = 3;
/** Longer slips move a section from where the track is looked for. */
const LONGEST_SECONDS = 0.06;
/** One sample is the least that can be lost, and a few of them are a whole number; clocks wander by less. */
const LEAST_SAMPLES = 0.7;
const FEW_SAMPLES = 4;
const WHOLE_WITHIN = 0.2;
/** Sum of squares, in standard deviations, that a slip explains and that may be left behind it. */
const LEAST_GAIN = 25;
const MOST_LEFT = 25;
/** A clock that swings by 8 ppm looks like a sample lost, but leaves 7 to 15; one that was lost leaves 0.01. */
const MOST_LEFT_OF_FEW = 5;
/** Where the drive changes the level by more, the phase may move with it. */
const LEAST_ALIKE = ratioOf(-3);
const TORN_RADIANS = 0.6;
const TORN_PART = 0.12;

/**
 * Whether the time between the sections of a take runs evenly: every repetition of a programme is late by the same part of
 * the time since, whatever the clocks. One that is not lies behind lost samples; one whose phases fit no delay was torn.
 *
 * @param startSeconds of each section in the track
 */
export function continuityOf(of: {
  repetitions: readonly Repetition[];
  frequencyHz: Float64Array;
  startSeconds: ReadonlyMap<string, number>;
  sampleRateHz: number;
}): Continuity {
  const { startSeconds, sampleRateHz } = of;
  const pairs = of.repetitions
    .map((repetition) => ({ ...repetition, points: pointsOf(repetition, of.frequencyHz) }))
    .filter(({ points }) => points.length >= LEAST_POINTS);
  const asRead: readonly Read[] = pairs.map((pair) => ({ ...pair, ...delayOf(pair.points) }));
  const order = [...startSeconds.keys()].sort((a, b) => startSeconds.get(a)! - startSeconds.get(b)!);
  const isUneven =
    asRead.some(isTorn) || fitOf(asRead, { startSeconds, order, gap: null }).misfit > LEAST_GAIN;
  const read = isUneven ? withTrueClock(asRead) : asRead;
  const torn = tornSections(read);
  if (torn.length > 0) return { slip: null, torn };
  // Two delays and a ratio leave open where a slip lies, unless the ratio is known by itself.
  const isPlaced =
    read !== asRead || new Set(read.map(({ earlier, later }) => `${earlier} ${later}`)).size > 2;
  const even = fitOf(read, { startSeconds, order, gap: null });
  const fits = order
    .slice(1)
    .map((_, gap) => ({ gap, ...fitOf(read, { startSeconds, order, gap }) }))
    .filter(({ misfit, slipSeconds }) => {
      const samples = Math.abs(slipSeconds) * sampleRateHz;
      return (
        even.misfit - misfit > LEAST_GAIN &&
        misfit < (samples > FEW_SAMPLES ? MOST_LEFT : MOST_LEFT_OF_FEW) &&
        samples > (isPlaced ? LEAST_SAMPLES : LEAST_SAMPLES / 2) &&
        (!isPlaced || samples > FEW_SAMPLES || Math.abs(samples - Math.round(samples)) < WHOLE_WITHIN)
      );
    })
    .sort((a, b) => a.misfit - b.misfit);
  const [best] = fits;
  return best === undefined
    ? CONTINUOUS
    : {
        slip: {
          after: isPlaced ? order[best.gap] : order[0],
          before: isPlaced ? order[best.gap + 1] : order[order.length - 1],
          milliseconds: isPlaced ? 1000 * best.slipSeconds : null,
        },
        torn: [],
      };
}

interface RatioPoint extends PhasePoint {
  readonly secondsBetween: number;
}

function pointsOf({ one, other, secondsBetween }: Repetition, frequencyHz: Float64Array): RatioPoint[] {
  const points: RatioPoint[] = [];
  frequencyHz.forEach((hz, i) => {
    if (i % EVERY_POINT !== 0) return;
    const [size, otherSize] = [modulus(one.real[i], one.imag[i]), modulus(other.real[i], other.imag[i])];
    const [snr, otherSnr] = [size / one.sigma[i], otherSize / other.sigma[i]];
    if (hz < FROM_HZ || !(snr > LEAST_SNR && otherSnr > LEAST_SNR)) return;
    if (Math.min(size, otherSize) < LEAST_ALIKE * Math.max(size, otherSize)) return;
    points.push({
      turn: 2 * Math.PI * hz,
      real: other.real[i] * one.real[i] + other.imag[i] * one.imag[i],
      imag: other.imag[i] * one.real[i] - other.real[i] * one.imag[i],
      variance: snr ** -2 + otherSnr ** -2 + LEAST_PHASE_VARIANCE,
      secondsBetween: secondsBetween[i],
    });
  });
  return points;
}

/** Phase that no noise explains: rounding, and the sweep's ends. */
const LEAST_PHASE_VARIANCE = 1e-6;

interface Delay {
  /** Positive where the later one is late. */
  readonly delaySeconds: number;
  readonly sigma: number;
  /** Part of the points whose phase fits the delay badly, and by how much phases miss it on the average. */
  readonly tornPart: number;
  readonly meanRadians: number;
}

function delayOf(points: readonly PhasePoint[]): Delay {
  const { value, sigma } = phaseSlope(points, LONGEST_SECONDS);
  const left = points.map(({ turn, real, imag }) => {
    const [cos, sin] = [Math.cos(turn * value), Math.sin(turn * value)];
    return Math.abs(Math.atan2(real * sin + imag * cos, real * cos - imag * sin));
  });
  return {
    delaySeconds: value,
    sigma,
    tornPart: left.filter((radians) => radians > TORN_RADIANS).length / points.length,
    meanRadians: left.reduce((sum, radians) => sum + radians, 0) / points.length,
  };
}

type Read = Repetition & Delay & { readonly points: readonly RatioPoint[] };

/**
 * A slip was taken for a difference of the clocks, which turns the phases of a slower and a faster sweep otherwise than a
 * delay does. Where one ratio more brings a pair into phase, all are read again with it.
 */
function withTrueClock(read: readonly Read[]): readonly Read[] {
  const isMixed = ({ earlier }: Read) => earlier.length > 1;
  const [first] = read.filter((pair) => !isMixed(pair)).sort((a, b) => b.meanRadians - a.meanRadians);
  if (first === undefined) return read;
  const below = first.points.filter(({ turn }) => turn < COARSE_TURN);
  const steps = (most: number, step: number, around = 0) =>
    Array.from({ length: 2 * Math.round(most / step) + 1 }, (_, i) => around - most + i * step);
  const best = (points: readonly RatioPoint[], ratios: readonly number[]) =>
    ratios
      .map((ratio) => ({ ratio, ...delayOf(turned(points, ratio)) }))
      .reduce((least, one) => (one.meanRadians < least.meanRadians ? one : least));
  const coarse = best(below.length < LEAST_POINTS ? first.points : below, steps(WIDEST_RATIO, COARSE_STEP));
  const { ratio, tornPart, meanRadians } = best(first.points, steps(COARSE_STEP, FINE_STEP, coarse.ratio));
  return tornPart > TORN_PART || meanRadians > LEFT_PART * first.meanRadians
    ? read
    : read.map((pair) => {
        const points = turned(pair.points, ratio);
        return { ...pair, points, ...delayOf(points) };
      });
}

/** Of what a pair was out of phase by, more than this left is another cause (chosen here; slips leave a hundredth). */
const LEFT_PART = 0.5;
/** Up to 2 kHz a step of 10 ppm over the 5 s by which the sweeps differ is a tenth of a turn. */
const COARSE_TURN = 2 * Math.PI * 2000;
const COARSE_STEP = 10e-6;
const FINE_STEP = 0.5e-6;
/** What a slip of LONGEST_SECONDS over the shortest time between repetitions is taken for. */
const WIDEST_RATIO = 2500e-6;

function turned(points: readonly RatioPoint[], ratio: number): RatioPoint[] {
  return points.map((point) => {
    const angle = point.turn * ratio * point.secondsBetween;
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    return {
      ...point,
      real: point.real * cos - point.imag * sin,
      imag: point.real * sin + point.imag * cos,
    };
  });
}

function isTorn({ tornPart }: Delay): boolean {
  return tornPart > TORN_PART;
}

/** A section that fits none of its repetitions; of several, those that were tried most often. */
function tornSections(read: readonly Read[]): string[] {
  const sections = new Set(read.filter(isTorn).flatMap(({ earlier, later }) => [...earlier, later]));
  const about = (section: string) =>
    read.filter(({ earlier, later }) => earlier.includes(section) || later === section);
  const never = [...sections].filter((section) => about(section).every(isTorn));
  const most = Math.max(0, ...never.map((section) => about(section).length));
  return never.filter((section) => about(section).length === most);
}

interface Fit {
  readonly slipSeconds: number;
  readonly misfit: number;
}

/** Delays by weighted least squares on an error of the clock ratio and (with a gap) a slip behind the gap-th section. */
function fitOf(
  read: readonly Read[],
  of: { startSeconds: ReadonlyMap<string, number>; order: readonly string[]; gap: number | null },
): Fit {
  const { startSeconds, order, gap } = of;
  const isBehind = (section: string) => (gap !== null && order.indexOf(section) > gap ? 1 : 0);
  const rows = read.map(({ earlier, later, delaySeconds, sigma }) => ({
    delay: delaySeconds,
    sigma: Math.hypot(sigma, LEAST_SIGMA_SECONDS),
    between: startSeconds.get(later)! - mean(earlier.map((section) => startSeconds.get(section)!)),
    behind: isBehind(later) - mean(earlier.map(isBehind)),
  }));
  const sum = (of: (row: (typeof rows)[number]) => number) =>
    rows.reduce((total, row) => total + of(row) / row.sigma ** 2, 0);
  const [tt, ts, ss] = [
    sum((r) => r.between ** 2),
    sum((r) => r.between * r.behind),
    sum((r) => r.behind ** 2),
  ];
  const [td, sd] = [sum((r) => r.between * r.delay), sum((r) => r.behind * r.delay)];
  const determinant = tt * ss - ts * ts;
  const told = determinant > 1e-6 * tt * ss;
  const slip = told ? (tt * sd - ts * td) / determinant : 0;
  const ratio = told ? (ss * td - ts * sd) / determinant : tt > 0 ? td / tt : 0;
  return {
    slipSeconds: slip,
    misfit: sum((r) => (r.delay - ratio * r.between - slip * r.behind) ** 2),
  };
}

/** Wander of the clocks within a take, and the low drive against the high one. */
const LEAST_SIGMA_SECONDS = 1e-6;
