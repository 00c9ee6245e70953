import { decibelsOfPower, powerRatioOf } from '../../dsp/decibels.ts';
import { carriedSides, PASS_BAND_DB } from '../../measure/sweeps/carried-sides.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridSpan } from '../../model/frequency-grid.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import type { Side, Tap } from '../../model/session.ts';
import type { Carries } from '../band/carried-response.ts';

type Routing = FindingOf<'routing'>;

/** A weaker channel must stand this many standard deviations above its noise: one of 30 000 does so by chance (normal distribution). */
const SIGNIFICANT = 4;

/** What a tap carries, from its responses to the left and to the right channel in its pass band, their sign included. */
export function findRouting({
  tap,
  measurements,
}: {
  tap: Tap;
  measurements: readonly TapMeasurement[];
}): Routing {
  const best = clearest(measurements);
  const weights = best === null ? null : channelWeights(best);
  const strongest = weights === null ? 0 : Math.max(weights.leftPower, weights.rightPower);
  const relativeDb = (power: number | undefined) =>
    power === undefined || power === 0 ? null : decibelsOfPower(power / strongest);
  const [leftDb, rightDb] = [relativeDb(weights?.leftPower), relativeDb(weights?.rightPower)];
  const carries = best === null ? 'nothing' : carriedSides({ leftDb, rightDb }, best);
  return {
    kind: 'routing',
    id: `routing:${tap.id}`,
    tapIds: [tap.id],
    evidence: [...(best ?? measurements[0]).evidence],
    leftDb,
    rightDb,
    carries,
    agreesWithSession: agrees(tap.side, carries),
  };
}

interface ChannelWeights {
  readonly leftPower: number;
  readonly rightPower: number;
}

/** The setting at which the tap stands clearest above its noise: the widest trusted band, then the strongest. */
function clearest(measurements: readonly TapMeasurement[]): TapMeasurement | null {
  const octaves = ({ left, right }: TapMeasurement) =>
    Math.max(
      ...[left, right].map(({ trustedHz }) =>
        trustedHz === null ? 0 : Math.log2(trustedHz[1] / trustedHz[0]),
      ),
    );
  const trusted = measurements.filter((measurement) => octaves(measurement) > 0);
  return trusted.reduce<TapMeasurement | null>(
    (best, measurement) => (best === null || octaves(measurement) >= octaves(best) ? measurement : best),
    null,
  );
}

function channelWeights({ left, right }: TapMeasurement): ChannelWeights {
  const main = peakPower(left) >= peakPower(right) ? left : right;
  const { first, last } = gridSpan(main.trustedHz ?? [0, 0]);
  const floor = peakPower(main) * powerRatioOf(PASS_BAND_DB);
  let [leftPower, rightPower, leftNoise, rightNoise] = [0, 0, 0, 0];
  for (let i = first; i <= last; i++) {
    if (power(main, i) < floor) continue;
    leftPower += power(left, i);
    rightPower += power(right, i);
    leftNoise += 2 * left.sigma[i] ** 2;
    rightNoise += 2 * right.sigma[i] ** 2;
  }
  const clean = (total: number, noise: number) => (total > (1 + SIGNIFICANT) * noise ? total - noise : 0);
  return {
    leftPower: clean(leftPower, leftNoise),
    rightPower: clean(rightPower, rightNoise),
  };
}

function agrees(side: Side, carries: Carries): boolean {
  switch (side) {
    case 'unknown':
      return true;
    case 'both':
      return carries === 'left and right';
    case 'left':
    case 'right':
      // A surround channel of that side plays one side less the other.
      return carries === side || carries === 'difference';
  }
}

function peakPower(response: FrequencyResponse): number {
  if (response.trustedHz === null) return 0;
  const { first, last } = gridSpan(response.trustedHz);
  let peak = 0;
  for (let i = first; i <= last; i++) peak = Math.max(peak, power(response, i));
  return peak;
}

function power({ real, imag }: FrequencyResponse, i: number): number {
  return real[i] * real[i] + imag[i] * imag[i];
}
