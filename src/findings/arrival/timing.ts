import type { FindingOf } from '../../model/finding.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { FittedTap } from '../band/fitted-tap.ts';
import { COVERAGE } from '../coverage.ts';
import { allEvidence } from '../tap-series.ts';
import { type Arrival, relativeArrival } from './relative-arrival.ts';

type Timing = FindingOf<'timing'>;

/** Delay is withheld where it is known no better: half a millisecond decides nothing at any crossover. */
const LEAST_CERTAIN_SECONDS = 1e-3;
/**
 * 95 %, however little noise there is: inputs of one recorder sample a few thousandths of a sample apart, their anti-alias
 * filters differ by as much (from memory), and the clock correction leaves a few millionths of the delay.
 */
const SYSTEMATIC_SECONDS = 1e-7;
const FLAT_TAKE = { code: 'record with EQ and tone flat' } as const;
const NO_COMMON_ZERO = { code: 'no common time zero' } as const;

/**
 * Delay (in the player's seconds) and polarity of every tap against the reference: what is left of their phases after the fitted filters, from takes
 * that share a time zero. Taps that never share one with the reference are reached through taps that share with both.
 *
 * @param referenceTapId null picks the tap with the widest band
 */
export function findTiming(of: { taps: readonly FittedTap[]; referenceTapId: string | null }): Timing[] {
  const reference = of.taps.find(({ tapId }) => tapId === of.referenceTapId) ?? widest(of.taps);
  if (reference === undefined) return [];
  const reached = chainedFrom(reference, of.taps);
  return of.taps
    .filter((tap) => tap !== reference)
    .map((tap) => {
      const arrival = reached.get(tap) ?? null;
      return {
        kind: 'timing',
        id: `timing:${tap.tapId}`,
        tapIds: [tap.tapId, reference.tapId],
        evidence: allEvidence(
          [tap, reference].flatMap(({ average }) => average.takes.map(({ measurement }) => measurement)),
        ),
        tapId: tap.tapId,
        referenceTapId: reference.tapId,
        delaySeconds:
          arrival === null
            ? notMeasurable(NO_COMMON_ZERO, { code: 'record a linking take' })
            : delayOf(arrival),
        polarity: arrival === null ? 'ambiguous' : arrival.polarity,
        reason: arrival === null ? NO_COMMON_ZERO : arrival.reason,
      };
    });
}

function delayOf({ delaySeconds, sigmaSeconds }: Arrival): MeasuredOrReason {
  const plusMinus = Math.hypot(COVERAGE * sigmaSeconds, SYSTEMATIC_SECONDS);
  if (plusMinus === Number.POSITIVE_INFINITY)
    return notMeasurable({ code: 'filters and their delay not told apart' }, FLAT_TAKE);
  return plusMinus > LEAST_CERTAIN_SECONDS
    ? notMeasurable({ code: 'filters leave the arrival uncertain', plusMinusSeconds: plusMinus }, FLAT_TAKE)
    : measured({ value: delaySeconds, plusMinus });
}

function widest(taps: readonly FittedTap[]): FittedTap | undefined {
  const octaves = ({ data }: FittedTap) =>
    Math.log2(data.frequencyHz[data.frequencyHz.length - 1] / data.frequencyHz[0]);
  return [...taps].sort((a, b) => octaves(b) - octaves(a))[0];
}

/** Arrival of every tap that can be reached from the reference, by the fewest links. */
function chainedFrom(reference: FittedTap, taps: readonly FittedTap[]): Map<FittedTap, Arrival> {
  const reached = new Map<FittedTap, Arrival>([
    [reference, { delaySeconds: 0, sigmaSeconds: 0, polarity: 'same', reason: null }],
  ]);
  for (const [link, before] of reached) {
    for (const tap of taps) {
      if (reached.has(tap)) continue;
      const step = relativeArrival({ tap, reference: link });
      if (step !== null) reached.set(tap, chained(before, step));
    }
  }
  return reached;
}

function chained(first: Arrival, second: Arrival): Arrival {
  const polarity =
    first.polarity === 'ambiguous' || second.polarity === 'ambiguous'
      ? 'ambiguous'
      : first.polarity === second.polarity
        ? 'same'
        : 'inverted';
  return {
    delaySeconds: first.delaySeconds + second.delaySeconds,
    sigmaSeconds: Math.hypot(first.sigmaSeconds, second.sigmaSeconds),
    polarity,
    reason: first.reason ?? second.reason,
  };
}
