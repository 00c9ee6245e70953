import type { Recommendation } from '../../src/model/recommendation.ts';
import { makePlan } from '../../src/recommend/plan.ts';
import type { PlanInput } from '../../src/recommend/plan-context.ts';

/** The list of a plan, for tests that do not look at its chain. */
export function recommend(input: PlanInput): Recommendation[] {
  return makePlan(input).recommendations;
}
