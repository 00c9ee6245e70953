import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { toRecord } from '../../src/model/measurement-record.ts';
import { RESULTS_VERSION, type Results } from '../../src/model/results.ts';
import type { PlanInput } from '../../src/recommend/plan-context.ts';
import { recommend } from './recommend.ts';

/** Results as an analysis of a radio of formulas would save them, without the chain. */
export function resultsOf(input: PlanInput): Results {
  return {
    format: 'steptone results',
    version: RESULTS_VERSION,
    toolVersion: '0',
    session: input.session,
    frequencyHz: [...gridFrequencyHz],
    measurements: input.measurements.map(toRecord),
    findings: [...input.findings],
    recommendations: recommend(input),
    notes: [],
    inputs: [],
  };
}
