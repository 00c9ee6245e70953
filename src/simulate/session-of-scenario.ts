import type { SessionInput, TapInput } from '../model/session-input.ts';
import { calibrationVoltsRms } from './calibration-tone.ts';
import { CALIBRATION_FILE, type PlannedFile, planFiles } from './file-plan.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';

/** The session file that the person who made these recordings writes. */
export function sessionOfScenario(scenario: Scenario): SessionInput {
  const { taps, files, supply } = scenario;
  return {
    name: scenario.name,
    settings: [...scenario.settings],
    taps: taps.map((tap) => ({
      id: tap.id,
      ...(tap.label === undefined ? {} : { label: tap.label }),
      side: tap.side,
      position: tap.position,
      load: tap.load,
      connection: tap.statedConnection ?? tap.connection,
      ...notesOf(tap),
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

function notesOf({ level, plus, minus, connector, note }: SimulatedTap): Partial<TapInput> {
  return Object.fromEntries(
    Object.entries({ level, plus, minus, connector, note }).filter(([, value]) => value !== undefined),
  );
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
