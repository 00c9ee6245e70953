import { expect, test } from 'vitest';
import { measurementsOf, shelf, tapOf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';
import { bassOf, largestError, lossFrom20, radioWith, SETTINGS, shelfDb } from './bass-of.ts';

test('with the short track a loss may be a limiter’s and cannot be told; another tap with the full track settles it', () => {
  const filters = (setting: number) => [shelf(80, lossFrom20(setting))];
  const short = measurementsOf({
    radio: radioWith(filters, { responseTrackOnly: true }),
    settings: SETTINGS,
  });
  expect(bassOf(short).changes[0]).toMatchObject({ verdict: 'cannot be told' });
  expect(bassOf(short).changes[0].reason).toEqual({ code: 'one drive only' });
  const taps = [tapOf(), tapOf({ id: 'rear-left' })];
  const full = measurementsOf({ radio: radioWith(filters), settings: SETTINGS, tapId: 'rear-left' });
  expect(bassOf([...short, ...full], taps).changes[0]).toMatchObject({ verdict: 'falls with volume' });
});

test('a limiter behind the volume control is no volume-dependent loss, at any SNR at which it is seen', () => {
  for (const snrDb of [70, 50, 40, 30, 20]) {
    const radio = radioWith(() => [], { limiterDriveDbFs: (setting) => -4 - (setting - 10), snrDb });
    const { changes } = bassOf(measurementsOf({ radio, settings: SETTINGS, random: seededRandom(snrDb) }));
    expect(changes[0].verdict, `${snrDb} dB`).not.toBe('falls with volume');
    if (snrDb >= 40) expect(changes[0].verdict).toBe('steady');
  }
});

test('a loss beside a limiter is still a loss, read from the low-drive sweep', () => {
  const radio = radioWith((setting) => [shelf(80, lossFrom20(setting))], {
    limiterDriveDbFs: (setting) => -8 - (setting - 14),
    snrDb: 60,
  });
  const [finding] = bassOf(measurementsOf({ radio, settings: SETTINGS })).changes;
  expect(finding.verdict).toBe('falls with volume');
  expect(
    largestError(finding, (setting, hz) => shelfDb(hz, { cornerHz: 80, gainDb: lossFrom20(setting) })),
  ).toBeLessThan(0.1);
});

test('a gain that changes by itself during the take leaves the setting out', () => {
  const measurements = measurementsOf({ radio: radioWith(() => []), settings: SETTINGS });
  const drifting = measurements.map((measurement) =>
    measurement.setting === 22
      ? {
          ...measurement,
          ladders: measurement.ladders.map((ladder) => ({
            ...ladder,
            steps: ladder.steps.map((step) => ({ ...step, levelDbFs: step.levelDbFs + 3 })),
          })),
        }
      : measurement,
  );
  const [finding] = bassOf(drifting).changes;
  expect(finding.verdict).toBe('steady');
  expect(finding.doubts).toEqual([
    {
      kind: 'take',
      reason: { code: 'gain changed during the take' },
      tapIds: ['front-left'],
      settings: [22],
    },
  ]);
});
