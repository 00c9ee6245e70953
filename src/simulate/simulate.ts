import type { SessionInput } from '../model/session-input.ts';
import { type KeepChannel, makeRecordings, type SimulatedRecording } from './make-recordings.ts';
import type { Scenario } from './scenario.ts';
import { sessionOfScenario } from './session-of-scenario.ts';
import { type Truth, truthOf } from './truth.ts';

export interface Simulation {
  /** Made as they are asked for; each call begins anew. */
  readonly recordings: (keep?: KeepChannel) => Generator<SimulatedRecording>;
  readonly session: SessionInput;
  readonly truth: Truth;
}

/** A scenario as the recordings, the session file and the truth that it stands for; the same seed gives the same samples. */
export function simulate(scenario: Scenario): Simulation {
  return {
    recordings: (keep) => makeRecordings(scenario, keep),
    session: sessionOfScenario(scenario),
    truth: truthOf(scenario),
  };
}
