import type { Candidate } from '../../dsp/fit/candidate.ts';
import { logResponse, reducedChiSquare } from '../../dsp/fit/log-response.ts';
import {
  DELAY_PARAMETER,
  FIRST_TERM_PARAMETER,
  fitResponse,
  SECONDS_PER_DELAY_UNIT,
} from '../../dsp/fit/response-fit.ts';
import { modulus } from '../../dsp/modulus.ts';
import { mean } from '../../dsp/statistics.ts';
import { delayBetween } from '../../measure/sweeps/delay-between.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AveragedTake } from '../band/averaged-tap.ts';
import { carriedResponse } from '../band/carried-response.ts';
import { type FittedTap, fittedRangeHz, RIVAL_MARGIN } from '../band/fitted-tap.ts';
import { COVERAGE } from '../coverage.ts';
import { modelErrorSeconds } from './arrival-error.ts';

/** When a tap arrives against another, and with which sign. */
export interface Arrival {
  readonly delaySeconds: number;
  readonly sigmaSeconds: number;
  readonly polarity: 'same' | 'inverted' | 'ambiguous';
  readonly reason: Reason | null;
}

/** Two taps alike in shape over at least this are compared directly, without any model of their filters. */
const LIKE_OCTAVES = 2;
const LIKE_ABOVE_HZ = 500;
const LIKE_CHI_SQUARE = 1.5;
/** Takes that scatter by so much more than their noise do not arrive alike. */
const MORE_THAN_NOISE = 2;
/**
 * What bass that a take has lost may move its arrival by: a high-pass of order 2 at 100 Hz delays 2 kHz by 6 microseconds, 10 kHz
 * by 0.2 (closed form: 1.41 fc / (2 pi f^2)), and the top of the band counts most.
 */
const OTHER_SHAPE_SECONDS = 5e-6;
/** Beyond this the phase does not follow any minimum-phase filter: an all-pass, an echo, two paths summed. */
const UNEXPLAINED_PHASE_RADIANS = 0.3;

/**
 * Arrival of a tap against another from the takes on a common time zero; null where they have none. Taps of one shape are
 * compared by the ratio of their responses; others by what each leaves after its own fitted filters.
 */
export function relativeArrival({
  tap,
  reference,
}: {
  tap: FittedTap;
  reference: FittedTap;
}): Arrival | null {
  const shared = sharedTakes(tap, reference);
  if (shared === null) return null;
  const alike = arrivalOfAlike(tap, reference);
  const arrival = alike ?? arrivalOfModels(tap, reference);
  return {
    ...arrival,
    delaySeconds: arrival.delaySeconds + shared.shiftSeconds,
    sigmaSeconds: Math.hypot(arrival.sigmaSeconds, shared.shiftSigmaSeconds),
  };
}

/**
 * How much the takes' own shifts add to the delay between the two averages: the mean over all common time zeros. An average
 * lies where its reference take does; with the shifts added it is the mean of all takes, whose noise the fit of the average
 * has in it already. What counts besides is takes that only one tap has, and a scatter beyond the noise.
 */
function sharedTakes(
  tap: FittedTap,
  reference: FittedTap,
): { shiftSeconds: number; shiftSigmaSeconds: number } | null {
  const averaged = differencesOf(tap.average.takes, reference.average.takes);
  const differences =
    averaged.length > 0 ? averaged : differencesOf(placedTakes(tap), placedTakes(reference));
  if (differences.length === 0) return null;
  const count = differences.length;
  const shiftSeconds = mean(differences.map(({ seconds }) => seconds));
  // A shift holds the noise of its own take and of the reference take.
  const variance = mean(differences.map(({ sigma }) => sigma ** 2)) / 2;
  const takes = Math.max(tap.average.takes.length, reference.average.takes.length);
  const scatter = Math.sqrt(
    differences.reduce((sum, { seconds }) => sum + (seconds - shiftSeconds) ** 2, 0) /
      Math.max(1, count - 1) /
      count,
  );
  if (averaged.length === 0)
    return {
      shiftSeconds,
      shiftSigmaSeconds: Math.hypot(scatter, Math.sqrt(variance / count), OTHER_SHAPE_SECONDS),
    };
  return {
    shiftSeconds,
    shiftSigmaSeconds:
      scatter > MORE_THAN_NOISE * Math.sqrt(variance / count)
        ? scatter
        : Math.sqrt(variance * (1 / count - 1 / takes)),
  };
}

function differencesOf(
  takes: readonly AveragedTake[],
  others: readonly AveragedTake[],
): { seconds: number; sigma: number }[] {
  return takes.flatMap((take) => {
    const other = others.find(({ measurement }) => measurement.timeOrigin === take.measurement.timeOrigin);
    if (other === undefined) return [];
    const seconds = take.shiftSeconds - other.shiftSeconds;
    return [{ seconds, sigma: Math.hypot(take.shiftSigmaSeconds, other.shiftSigmaSeconds) }];
  });
}

/** All takes of a tap against its average, those too whose shape is not its own: they still arrive when they do. */
function placedTakes({ average, measurements, carries }: FittedTap): AveragedTake[] {
  return measurements.flatMap((measurement) => {
    const later = carriedResponse(measurement, carries);
    const shift = delayBetween({ earlier: average.response, later });
    return shift === null ? [] : [{ measurement, shiftSeconds: shift.value, shiftSigmaSeconds: shift.sigma }];
  });
}

function arrivalOfAlike(tap: FittedTap, reference: FittedTap): Arrival | null {
  const [a, b] = [fittedRangeHz(tap), fittedRangeHz(reference)];
  const rangeHz: [number, number] = [Math.max(a[0], b[0]), Math.min(a[1], b[1])];
  if (Math.log2(rangeHz[1] / Math.max(LIKE_ABOVE_HZ, rangeHz[0])) < LIKE_OCTAVES) return null;
  const data = logResponse(ratioOf(tap, reference), { frequencyHz: gridFrequencyHz, rangeHz });
  if (data === null) return null;
  const shape = { sampleRateHz: null, terms: [] };
  const fit = fitResponse(data, shape, { termParameters: new Float64Array(0) });
  const reduced = reducedChiSquare(data, fit);
  if (reduced > LIKE_CHI_SQUARE) return null;
  const variance = fit.covariance[DELAY_PARAMETER * 2 + DELAY_PARAMETER] * Math.max(0.5, reduced);
  return {
    delaySeconds: data.coarseDelaySeconds + SECONDS_PER_DELAY_UNIT * fit.parameters[DELAY_PARAMETER],
    sigmaSeconds: SECONDS_PER_DELAY_UNIT * Math.sqrt(variance),
    polarity: isOdd(fit.halfTurns) ? 'inverted' : 'same',
    reason: null,
  };
}

function ratioOf(tap: FittedTap, reference: FittedTap) {
  const [a, b] = [tap.average.response, reference.average.response];
  const count = gridFrequencyHz.length;
  const [real, imag, sigma] = [0, 1, 2].map(() => new Float64Array(count));
  for (let i = 0; i < count; i++) {
    const square = b.real[i] ** 2 + b.imag[i] ** 2;
    real[i] = (a.real[i] * b.real[i] + a.imag[i] * b.imag[i]) / square;
    imag[i] = (a.imag[i] * b.real[i] - a.real[i] * b.imag[i]) / square;
    sigma[i] = modulus(a.sigma[i], b.sigma[i] * modulus(real[i], imag[i])) / Math.sqrt(square);
  }
  return { real, imag, sigma };
}

function arrivalOfModels(tap: FittedTap, reference: FittedTap): Arrival {
  const [own, other] = [ownArrival(tap), ownArrival(reference)];
  const reason = own.doubt ?? other.doubt;
  return {
    delaySeconds: own.seconds - other.seconds,
    sigmaSeconds: Math.hypot(own.sigma, other.sigma),
    polarity: reason !== null ? 'ambiguous' : own.inverted === other.inverted ? 'same' : 'inverted',
    reason,
  };
}

/** What one tap leaves after its fitted filters. */
function ownArrival(tap: FittedTap): {
  seconds: number;
  sigma: number;
  inverted: boolean;
  doubt: Reason | null;
} {
  const { best, rivals, data, reducedChiSquare } = tap;
  const secondsOf = ({ fit }: Candidate) =>
    data.coarseDelaySeconds + SECONDS_PER_DELAY_UNIT * fit.parameters[DELAY_PARAMETER];
  const size = best.fit.parameters.length;
  const variance = best.fit.covariance[DELAY_PARAMETER * size + DELAY_PARAMETER] * reducedChiSquare;
  const seconds = secondsOf(best);
  const spread = Math.max(0, ...rivals.map((rival) => Math.abs(secondsOf(rival) - seconds)));
  return {
    seconds,
    sigma: Math.hypot(
      SECONDS_PER_DELAY_UNIT * Math.sqrt(variance),
      spread / COVERAGE,
      modelErrorSeconds(tap) / COVERAGE,
    ),
    inverted: isOdd(best.fit.halfTurns),
    doubt: polarityDoubt(tap),
  };
}

/** Why a tap's sign cannot be told; null where it can. */
function polarityDoubt({ tapId, best, rivals, data, reducedChiSquare }: FittedTap): Reason | null {
  if (rivals.some(({ fit }) => isOdd(fit.halfTurns) !== isOdd(best.fit.halfTurns))) {
    return { code: 'filters disagree on the sign', tapId };
  }
  const scale = Math.max(1, reducedChiSquare);
  const margin = RIVAL_MARGIN * scale;
  const turned = [-1, 1].map((half) =>
    fitResponse(data, best.fit.shape, {
      termParameters: best.fit.parameters.slice(FIRST_TERM_PARAMETER),
      halfTurns: best.fit.halfTurns + half,
    }),
  );
  if (turned.some(({ chiSquare }) => chiSquare - best.fit.chiSquare < margin)) {
    return { code: 'half a period fits with the other sign', tapId };
  }
  return phaseMisfit({ best, data, reducedChiSquare }) > UNEXPLAINED_PHASE_RADIANS
    ? { code: 'phase follows no filter and delay', tapId }
    : null;
}

function phaseMisfit({
  best,
  data,
  reducedChiSquare,
}: Pick<FittedTap, 'best' | 'data' | 'reducedChiSquare'>): number {
  if (reducedChiSquare < 2) return 0;
  return Math.sqrt(best.fit.chiSquare / (2 * data.frequencyHz.length)) / mean(data.weight);
}

function isOdd(halfTurns: number): boolean {
  return Math.abs(halfTurns) % 2 === 1;
}
