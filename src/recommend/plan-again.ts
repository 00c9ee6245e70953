import type { Equipment } from '../model/equipment.ts';
import { fromRecord } from '../model/measurement-record.ts';
import type { Results } from '../model/results.ts';
import { comparePlans, type PlanComparison } from './compare-plans.ts';
import { makePlan } from './plan.ts';

/** The results with another plan in place of the old one. */
interface PlannedAgain {
  readonly results: Results;
  readonly comparison: PlanComparison;
}

/**
 * Plans for other equipment from a results file alone, without the recordings: what was measured and found stays, the
 * recommendations are made anew.
 */
export function planAgain(results: Results, equipment: Equipment): PlannedAgain {
  const session = { ...results.session, equipment };
  const measurements = results.measurements.map(fromRecord);
  const { findings, doubts } = results;
  const takes = (results.checks?.takes ?? []).map(({ facts }) => facts);
  const plan = (parts: Equipment | null) =>
    makePlan({ session, measurements, findings, equipment: parts, takes, doubts });
  const { chain, recommendations } = plan(equipment);
  return {
    results: { ...results, session, chain, recommendations },
    // Against the plan that this version makes for the old parts: a newer tool must not look like a change of parts.
    comparison: comparePlans({
      before: plan(results.session.equipment).recommendations,
      after: recommendations,
    }),
  };
}
