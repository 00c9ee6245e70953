import { readFileSync } from 'node:fs';
import { parseScenario } from '../../src/simulate/read-scenario.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import { type AnalysedScenario, analysedScenario } from '../end-to-end/analysed-scenario.ts';

/** The scenarios of this folder, each named by its file. */
export const CASE_NAMES = ['a', 'b', 'c', 'e', 'f2', 'g2', 'h', 'l', 'n'] as const;
export type CaseName = (typeof CASE_NAMES)[number];

const solved = new Map<CaseName, AnalysedScenario>();

/** Simulates, measures and plans a case once for all that ask for it in one process; 8 to 20 s the first time. */
export function solvedCase(name: CaseName): AnalysedScenario {
  const known = solved.get(name) ?? analysedScenario(caseScenario(name));
  solved.set(name, known);
  return known;
}

export function caseScenario(name: CaseName): Scenario {
  const fileName = `${name}.yaml`;
  return parseScenario({ fileName, text: readFileSync(new URL(fileName, import.meta.url), 'utf8') });
}
