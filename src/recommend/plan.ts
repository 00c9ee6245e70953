import type { Chain } from '../model/chain.ts';
import type { Recommendation } from '../model/recommendation.ts';
import { solveChain } from './chain/solve-chain.ts';
import { type crossoverFilters, USUAL_HAND_OVER_HZ } from './filters/crossover-filters.ts';
import { smallDrivers } from './filters/small-drivers.ts';
import { fittingSound } from './fitting-sound.ts';
import { orderOfWork } from './order-of-work.ts';
import { partsBetween } from './parts-between.ts';
import { type PlanInput, planContext } from './plan-context.ts';
import { waitOf } from './seat/feed-delays.ts';
import { seatAdvice } from './seat/seat-takes.ts';
import { wiringOf } from './wiring.ts';

/** The chain of this car, solved once, and everything to do that is read off it. */
export interface Plan {
  readonly chain: Chain;
  /** In the order of work; every item names the findings that it rests on. */
  readonly recommendations: Recommendation[];
}

/**
 * What to do about what was found: what feeds what, how much bass to put back, how far the volume goes, the chain solved for
 * all its limits together, and every gain as a meter reading. Works from measurements and findings alone, so that a results
 * file read back years later gives the same plan, or another one with other parts.
 */
export function makePlan(input: PlanInput): Plan {
  const context = planContext(input);
  const wiring = wiringOf(context);
  const parts = partsBetween(context, wiring);
  const { sound, setting, endedBy } = fittingSound(context, { ...wiring, ...parts });
  const { feeds, clean, restoring } = wiring;
  const { filters, restoration, solved } = sound;
  const protections = smallDrivers(context, feeds);
  const seat = feeds.length === 0 ? [] : seatAdvice(context, handOverOf(filters));
  const chain = solveChain(context, {
    feeds,
    protections,
    clean,
    setting,
    solved,
    restoration,
    endedBy,
    boostDb: restoring?.boostDb ?? null,
    equalizing: sound.equalizing,
    waitsSeconds: (feed) => waitOf(parts.delay, feed),
    filters,
    startWith: startWith(filters, seat),
  });
  return {
    chain,
    recommendations: orderOfWork(context, {
      ...wiring,
      ...parts,
      ...sound,
      setting,
      endedBy,
      protections,
      seat,
      chain,
      takes: input.takes,
    }),
  };
}

function handOverOf(filters: ReturnType<typeof crossoverFilters>): number {
  const lowPass = filters.find(({ output, type }) => output === 'subwoofer' && type === 'low-pass');
  return lowPass?.cornerHz ?? USUAL_HAND_OVER_HZ;
}

/** As the takes at the seat advise; without them, as radio and filters add. */
function startWith(
  filters: ReturnType<typeof crossoverFilters>,
  [seat]: ReturnType<typeof seatAdvice>,
): Chain['feeds'][number]['startWith'] {
  if (seat !== undefined) return seat.polarity === 'inverted' ? 'inverted' : 'as wired';
  return filters.find(({ handOver }) => handOver !== undefined)?.handOver?.startWith ?? 'as wired';
}
