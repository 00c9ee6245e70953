import { describe, expect, test } from 'vitest';
import { checkedSession } from '../../src/check/checked-session.ts';
import { codeOf } from '../../src/model/reason.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { memorySound } from '../memory-sound.ts';

function checked(input: ScenarioInput) {
  const simulation = simulate(resolveScenario(input));
  const sounds = new Map(
    [...simulation.recordings()].map(({ file, sampleRateHz, channels }) => [
      file,
      memorySound({ name: file, sampleRateHz, channels }),
    ]),
  );
  const session = resolveSession(simulation.session, { folderFiles: [...sounds.keys()] });
  const { check } = checkedSession({ session, open: (file) => sounds.get(file)! });
  const remarks = check.takes.flatMap(({ remarks: said }) =>
    said.filter(({ weight }) => weight !== 'note').map(({ reason }) => codeOf(reason)),
  );
  return { check, remarks, known: check.soFar.flatMap(({ known }) => known.map(codeOf)) };
}

/** Invented cars with the answers of a good installer (common practice): what the check says of them while the dash is open. */
describe('a car whose answer is known', () => {
  test('a limiter on the bass, clips early: no knock, every take usable, the dash may be closed', () => {
    const { check, remarks, known } = checked({
      seed: 15,
      settings: [15, 25, 35, 40],
      supply: { volts: 12.5 },
      everyTap: {
        volume: { atSetting: 25, voltsRms: 6.6, dbPerStep: 1 },
        railVoltsPeak: 10.6,
        noise: { voltsRms: 0.0006 },
        limiterAfter: { thresholdVoltsRms: 1.5 },
      },
      taps: [
        { id: 'front-left', side: 'left', position: 'front' },
        { id: 'front-right', side: 'right', position: 'front' },
      ],
      recorder: { padRatio: 11, fullScaleVoltsRms: 1.4 },
    });
    expect(remarks).toEqual([]);
    expect(check.missing).toEqual([]);
    expect(known).toContain('limiter holds bass');
    expect(check.mayCloseDash).toBe(true);
  });

  test('hum common to all outputs: from recorder, charger or ground, no wire twice, the dash may be closed', () => {
    const { check, remarks, known } = checked({
      seed: 17,
      settings: [8, 20, 32],
      supply: { volts: 14.3, engineRunning: true },
      everyTap: {
        volume: { atSetting: 32, voltsRms: 7.5, dbPerStep: 1.2 },
        railVoltsPeak: 12.8,
        noise: { voltsRms: 0.001 },
        lines: [{ frequencyHz: 50, voltsRms: 0.01, harmonics: 3 }],
      },
      taps: [
        { id: 'front-left', side: 'left', position: 'front' },
        { id: 'rear-left', side: 'left', position: 'rear' },
      ],
      recorder: { padRatio: 11, fullScaleVoltsRms: 1.4 },
    });
    expect(remarks).toEqual([]);
    expect(known).not.toContain('bass differs');
    expect(check.notes).toContainEqual({
      tapIds: ['front-left', 'rear-left'],
      settings: [],
      reason: { code: 'hum common to all outputs', mainsHz: 50 },
    });
    expect(check.mayCloseDash).toBe(true);
  });
});
