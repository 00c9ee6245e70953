import type { PlanContext } from '../plan-context.ts';
import { type Feed, type FeedPlan, feedOf } from './feed.ts';
import { mainsPlans } from './mains-feeds.ts';
import { addedPolaritiesOf, type Polarities, polaritiesOf } from './polarities.ts';
import { subwooferPlan } from './subwoofer-feed.ts';

/** What feeds what: front, rear, centre, then the subwoofer; every pair of wires connected one way round, in all of them. */
export function allFeeds(context: PlanContext): Feed[] {
  const mains = mainsPlans(context);
  const subwoofer = subwooferPlan(context, {
    added: addedPolaritiesOf(mains),
    connected: polaritiesOf(mains),
  });
  const plans = [...mains, ...(subwoofer === null ? [] : [subwoofer])];
  return fewestCrossed(asAdded(plans)).map((plan) => feedOf(context, plan));
}

/** One output alone is connected as the sum has it that needs it so. */
function asAdded(plans: readonly FeedPlan[]): FeedPlan[] {
  const added: Polarities = addedPolaritiesOf(plans);
  return plans.map((plan) =>
    plan.taps.length > 1
      ? plan
      : {
          ...plan,
          taps: plan.taps.map((tap) => ({ ...tap, polarity: added.get(tap.tapId) ?? tap.polarity })),
        },
  );
}

/** All of them turned over sound the same: the way in which fewer pairs are crossed is the better one. */
function fewestCrossed(plans: readonly FeedPlan[]): readonly FeedPlan[] {
  const polarities = [...polaritiesOf(plans).values()];
  const crossed = polarities.filter((polarity) => polarity === 'inverted').length;
  return crossed <= polarities.length / 2
    ? plans
    : plans.map((plan) => ({ ...plan, taps: turnedOver(plan.taps) }));
}

function turnedOver(taps: FeedPlan['taps']): FeedPlan['taps'] {
  return taps.map((tap) => ({ ...tap, polarity: tap.polarity === 'inverted' ? 'as wired' : 'inverted' }));
}
