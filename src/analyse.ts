import type { Sound } from './audio/sound.ts';
import { checkedSession } from './check/checked-session.ts';
import { isMicrophone } from './findings/withheld/microphone.ts';
import type { ReadAhead } from './measure/measure-session.ts';
import { measureSeatTakes } from './measure/seat-takes.ts';
import { type Equipment, equipmentSchema, type SeatTakes } from './model/equipment.ts';
import { gridFrequencyHz } from './model/frequency-grid.ts';
import { toRecord } from './model/measurement-record.ts';
import { RESULTS_VERSION, type Results } from './model/results.ts';
import type { Session } from './model/session.ts';
import { makePlan } from './recommend/plan.ts';

interface AnalyseInput {
  readonly session: Session;
  /** Opens a recording by the name that the session gives it. */
  readonly open: (file: string) => Sound;
  /** What worker threads have read already. */
  readonly ahead?: ReadAhead | undefined;
  readonly toolVersion: string;
  readonly inputs: Results['inputs'];
  readonly onProgress?: ((done: number, total: number, what: string) => void) | undefined;
}

/**
 * The whole job: recordings in, results out. A recording that cannot be used is left out and named in the notes.
 *
 * @throws SteptoneError 'no-recordings' where none can be used, or what is wrong with the only one
 */
export function analyse({ session, open, ahead, toolVersion, inputs, onProgress }: AnalyseInput): Results {
  const { measured, findings, check } = checkedSession({ session, open, ahead, onProgress });
  const { measurements, doubts } = measured;
  const seat = measureSeatTakes({ session, open });
  const equipment = withSeat(session.equipment, seat.seat);
  const { chain, recommendations } = makePlan({
    session: outputsOnly(session),
    measurements,
    findings,
    equipment,
    takes: check.takes.map(({ facts }) => facts),
    doubts,
  });
  return {
    format: 'steptone results',
    version: RESULTS_VERSION,
    toolVersion,
    session: { ...session, equipment },
    frequencyHz: Array.from(gridFrequencyHz, (hz) => Number(hz.toPrecision(6))),
    measurements: measurements.map(toRecord),
    findings: [...findings],
    ...(doubts.length === 0 ? {} : { doubts: [...doubts] }),
    chain,
    recommendations,
    notes: [
      ...session.notes.map((reason) => ({ file: null, reason })),
      ...[...measured.notes, ...seat.notes].map(({ file, reason }) => ({ file, reason })),
    ],
    checks: check,
    inputs,
  };
}

/** Kept with the equipment that was heard: a plan for other equipment, made years later, does not take it over. */
function withSeat(equipment: Equipment | null, seat: SeatTakes | null): Equipment | null {
  return seat === null ? equipment : { ...(equipment ?? equipmentSchema.parse({})), seat };
}

/** Nothing can be connected to a microphone. */
function outputsOnly(session: Session): Session {
  return { ...session, taps: session.taps.filter((tap) => !isMicrophone(tap)) };
}
