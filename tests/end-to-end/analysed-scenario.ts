import { analyse } from '../../src/analyse.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import type { Simulation } from '../../src/simulate/simulate.ts';
import { keptReadings, keptRecordings } from '../kept-recordings.ts';
import { memorySound } from '../memory-sound.ts';

export interface AnalysedScenario extends Simulation {
  readonly scenario: Scenario;
  readonly results: Results;
}

const analysed = new Map<string, AnalysedScenario>();

/** Simulates a scenario and analyses its recordings, kept in memory (already exact in the recorder's bits); once for the same one. */
export function analysedScenario(scenario: Scenario): AnalysedScenario {
  const key = JSON.stringify(scenario);
  const known = analysed.get(key) ?? analysedAnew(scenario);
  analysed.set(key, known);
  return known;
}

function analysedAnew(scenario: Scenario): AnalysedScenario {
  const { made, ...simulation } = keptRecordings(scenario);
  const recordings = new Map(made.map((recording) => [recording.file, recording]));
  const session = resolveSession(simulation.session, { folderFiles: [...recordings.keys()] });
  const results = analyse({
    session,
    open: (file) => memorySound({ name: file, ...recordings.get(file)! }),
    ahead: keptReadings(session, recordings),
    toolVersion: 'test',
    inputs: [],
  });
  return { ...simulation, scenario, results };
}
