import { type EquipmentInput, equipmentSchema } from '../../src/model/equipment.ts';
import type { Results } from '../../src/model/results.ts';
import { planAgain } from '../../src/recommend/plan-again.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { analysedScenario } from './analysed-scenario.ts';

export function resultsOf(scenario: ScenarioInput): Results {
  return analysedScenario(resolveScenario(scenario)).results;
}

/** The same recordings, other parts: no recording is made again for it. */
export function planWith(results: Results, equipment: EquipmentInput): Results['recommendations'] {
  return planAgain(results, equipmentSchema.parse(equipment)).results.recommendations;
}

// The same cases as in recommend/known-answers, this time through recordings; the answers follow by arithmetic.
export const STEP = { dbPerStep: 1 } as const;
export const LEVEL = { atSetting: 30, voltsRms: 6.85, ...STEP } as const;
