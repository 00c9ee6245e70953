import { analyse } from '../../src/analyse.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import { type Simulation, simulate } from '../../src/simulate/simulate.ts';
import { memorySound } from '../memory-sound.ts';

export interface AnalysedScenario extends Simulation {
  readonly scenario: Scenario;
  readonly results: Results;
}

/** Simulates a scenario and analyses its recordings, kept in memory (already exact in the recorder's bits). */
export function analysedScenario(scenario: Scenario): AnalysedScenario {
  const simulation = simulate(scenario);
  const sounds = new Map(
    Array.from(simulation.recordings(), ({ file, sampleRateHz, channels }) => [
      file,
      memorySound({ name: file, sampleRateHz, channels }),
    ]),
  );
  const session = resolveSession(simulation.session, { folderFiles: [...sounds.keys()] });
  const results = analyse({ session, open: (file) => sounds.get(file)!, toolVersion: 'test', inputs: [] });
  return { ...simulation, scenario, results };
}
