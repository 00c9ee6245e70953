import { type PhasePoint, phaseSlope } from '../dsp/phase-slope.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import { programmeSpectrum } from '../recommend/feeds/predict-sum.ts';
import { filterResponse } from './chain-fit.ts';
import type { FeedFit } from './feed-fit.ts';
import { type RecordedFeed, trustedIn } from './recorded-feed.ts';

/** When a feed arrives against the plan's own time zero, and with which sign. */
export interface FeedArrival {
  readonly setting: number;
  /** Feeds with the same one, here and in the plan, compare in time. */
  readonly timeOrigin: string;
  readonly delaySeconds: number;
  readonly polarity: 'same' | 'inverted' | 'ambiguous';
}

/** Filters of converters and amplifiers turn the phase below it; two octaves and more are left above. */
const WIDE_BAND_HZ = [400, 12_000] as const;
const LEAST_WIDE_OCTAVES = 2;
/** The hand-over of a subwoofer (common practice). */
const LOW_BAND_HZ = [30, 90] as const;
const FURTHEST_SECONDS = 0.1;
/** A sign is told where the phases lie within a sixth of a turn of it. */
const CLEAR_COSINE = 0.5;
const LEAST_POINTS = 8;
const PHASE_VARIANCE = 1e-4;

/** Arrival and sign of a feed that is wide enough to tell both by itself; null where it is not, or timing is unknown. */
export function wideArrival(recorded: RecordedFeed, fit: FeedFit): FeedArrival | null {
  const against = againstPlan(recorded, fit, WIDE_BAND_HZ);
  if (against === null || against.turned.length < LEAST_POINTS) return null;
  const { turned, setting, timeOrigin } = against;
  if (Math.log2(turned[turned.length - 1].hz / turned[0].hz) < LEAST_WIDE_OCTAVES) return null;
  const signs = [1, -1].map((sign) => {
    const points = turned.map(
      ({ hz, real, imag }): PhasePoint => ({
        turn: 2 * Math.PI * hz,
        real: sign * real,
        imag: sign * imag,
        variance: PHASE_VARIANCE,
      }),
    );
    const delaySeconds = phaseSlope(points, FURTHEST_SECONDS).value;
    return { sign, delaySeconds, cosine: inPhase(turned, delaySeconds) * sign };
  });
  const best = signs[0].cosine >= signs[1].cosine ? signs[0] : signs[1];
  const polarity = best.cosine < CLEAR_COSINE ? 'ambiguous' : best.sign === 1 ? 'same' : 'inverted';
  return { setting, timeOrigin, delaySeconds: best.delaySeconds, polarity };
}

/** Sign of a narrow feed whose take also holds a wide one, which gives the time zero; null where it has no points. */
export function lowArrival(recorded: RecordedFeed, fit: FeedFit, wide: FeedArrival): FeedArrival | null {
  const against = againstPlan(recorded, fit, LOW_BAND_HZ, wide);
  if (against === null || against.turned.length < LEAST_POINTS) return null;
  const cosine = inPhase(against.turned, wide.delaySeconds);
  const polarity = Math.abs(cosine) < CLEAR_COSINE ? 'ambiguous' : cosine > 0 ? 'same' : 'inverted';
  const { setting, timeOrigin } = against;
  return { setting, timeOrigin, delaySeconds: wide.delaySeconds, polarity };
}

interface Turned {
  readonly hz: number;
  readonly real: number;
  readonly imag: number;
}

/** Measured over planned as complex numbers, the fitted filters taken out, at the lowest setting that allows it. */
function againstPlan(
  { planned, series, node }: RecordedFeed,
  { rows, fit }: FeedFit,
  bandHz: readonly [number, number],
  like?: FeedArrival,
): { turned: Turned[]; setting: number; timeOrigin: string } | null {
  const filters = node === 'amplifier output' ? planned.filters : [];
  const filter = filterResponse(fit.filters, filters);
  for (const measurement of series.measurements) {
    const { setting, timeOrigin } = measurement;
    const plan = planned.spectrum(setting, 'both');
    const here = `${timeOrigin} / ${plan?.timeOrigin}`;
    if (plan === null || (like !== undefined && here !== like.timeOrigin)) continue;
    const judged = new Set(rows.find((row) => row.setting === setting)?.points);
    const found = programmeSpectrum(measurement, 'both');
    const turned = trustedIn(measurement, bandHz)
      .filter((i) => judged.has(i) || like !== undefined)
      .map((i) => {
        const re = plan.real[i] * filter.real[i] - plan.imag[i] * filter.imag[i];
        const im = plan.real[i] * filter.imag[i] + plan.imag[i] * filter.real[i];
        return {
          hz: gridFrequencyHz[i],
          real: found.real[i] * re + found.imag[i] * im,
          imag: found.imag[i] * re - found.real[i] * im,
        };
      });
    return { turned, setting, timeOrigin: here };
  }
  return null;
}

/** Mean cosine of the phases once a delay is taken out: 1 in phase, -1 inverted. */
function inPhase(turned: readonly Turned[], delaySeconds: number): number {
  const sum = turned.reduce((total, { hz, real, imag }) => {
    const angle = 2 * Math.PI * hz * delaySeconds;
    return total + (real * Math.cos(angle) - imag * Math.sin(angle)) / (Math.hypot(real, imag) + 1e-30);
  }, 0);
  return sum / turned.length;
}
