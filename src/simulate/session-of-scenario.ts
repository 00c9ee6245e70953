import type { SessionInput } from '../model/session-input.ts';
import { calibrationVoltsRms } from './calibration-tone.ts';
import { CALIBRATION_FILE, type PlannedFile, planFiles } from './file-plan.ts';
import type { Scenario } from './scenario.ts';

/** The session file that the person who made these recordings writes. */
export function sessionOfScenario(scenario: Scenario): SessionInput {
  const { taps, files, supply } = scenario;
  return {
    name: scenario.name,
    settings: [...scenario.settings],
    taps: taps.map(({ id, label, side, position, load, connection, statedConnection }) => ({
      id,
      ...(label === undefined ? {} : { label }),
      side,
      position,
      load,
      connection: statedConnection ?? connection,
    })),
    recordings: planFiles(scenario)
      .filter((planned) => planned.kind !== 'tone')
      .map(recordingEntry),
    calibration: calibrationEntry(scenario),
    ...(files.referenceTapId === undefined ? {} : { referenceTapId: files.referenceTapId }),
    source: scenario.source,
    ...(supply === null ? {} : { supply }),
    ...(scenario.equipment === null ? {} : { equipment: scenario.equipment }),
    ...(scenario.notes.length === 0 ? {} : { notes: scenario.notes }),
  };
}

function recordingEntry({
  file,
  kind,
  tapIds,
  takes,
  noise,
}: PlannedFile): NonNullable<SessionInput['recordings']>[number] {
  const channels = [...tapIds];
  if (noise !== undefined) {
    const { engine, rpm, rpmNoted, setting } = noise;
    return { file, channels, kind: 'noise', engine, setting, ...(rpmNoted && rpm > 0 ? { rpm } : {}) };
  }
  if (kind === 'loop' || kind === 'shorted') return { file, channels, kind };
  return {
    file,
    channels,
    settings: takes.filter((take) => take.abortedAfterSeconds === null).map(({ setting }) => setting),
  };
}

function calibrationEntry(scenario: Scenario): NonNullable<SessionInput['calibration']> {
  const { calibration, recorder } = scenario;
  switch (calibration.kind) {
    case 'pad': {
      const padRatio = calibration.statedPadRatio ?? recorder.padRatio;
      return { kind: 'pad', padRatio, fullScaleVoltsRms: recorder.fullScaleVoltsRms };
    }
    case 'tone':
      return { kind: 'tone', file: CALIBRATION_FILE, channel: 1, voltsRms: calibrationVoltsRms(scenario) };
    case 'none':
      return { kind: 'none' };
  }
}
