import { expect, test } from 'vitest';
import { findAll } from '../../src/findings/find-all.ts';
import { findingSchema, findingsOf } from '../../src/model/finding.ts';
import { measurementsOf, pass, type Radio, sessionOf, shelf, tapOf } from './synthetic.ts';
import { seededRandom } from './synthetic-noise.ts';

const SETTINGS = [10, 16, 22, 28];
const FRONT = [tapOf({ id: 'left', side: 'left' }), tapOf({ id: 'right', side: 'right' })];
const FALLING: Radio = {
  gainDb: (setting) => setting - 30,
  filters: (setting) => [shelf(80, setting > 22 ? -6 : 0)],
  clip: { driveDbFs: (setting) => 20 - setting, beforeFilters: false },
  snrDb: 55,
  voltsPerFullScale: 20,
};
const DASH: Radio = {
  gainDb: (setting) => setting - 30,
  filters: () => [pass('high-pass', 3000)],
  snrDb: 50,
  voltsPerFullScale: 20,
};

function found(left: Radio, right: Radio) {
  const measurements = [
    ...measurementsOf({
      radio: { ...left, weights: [1, 0] },
      settings: SETTINGS,
      tapId: 'left',
      random: seededRandom(1),
    }),
    ...measurementsOf({
      radio: { ...right, weights: [0, 1] },
      settings: SETTINGS,
      tapId: 'right',
      random: seededRandom(1),
    }),
  ];
  return findAll({ session: sessionOf(FRONT, 14.4), measurements });
}

test('every finding has the schema’s form, names its taps and rests on a recording; identities are unique', () => {
  const findings = found(FALLING, DASH);
  for (const finding of findings) {
    expect(findingSchema.safeParse(finding).error).toBeUndefined();
    expect(finding.tapIds.length).toBeGreaterThan(0);
    expect(finding.evidence.length).toBeGreaterThan(0);
  }
  expect(new Set(findings.map(({ id }) => id)).size).toBe(findings.length);
});

test('swapping two channels swaps their findings', () => {
  const [once, swapped] = [found(FALLING, DASH), found(DASH, FALLING)];
  const about = (findings: ReturnType<typeof found>, tapId: string) =>
    findings
      .filter(({ tapIds }) => tapIds.length === 1 && tapIds[0] === tapId)
      .flatMap((finding) => {
        if (finding.kind === 'bass-change')
          return [`${finding.kind} ${finding.verdict} ${JSON.stringify(finding.onset)}`];
        if (finding.kind === 'clipping') return [`${finding.kind} ${finding.toneHz} ${finding.place}`];
        if (finding.kind === 'clean-settings') return [`${finding.kind} ${finding.highestCleanRecorded}`];
        if (finding.kind === 'band') return [`${finding.kind} ${finding.verdict}`];
        return [finding.kind];
      });
  expect(about(once, 'left')).toEqual(about(swapped, 'right'));
  expect(about(once, 'right')).toEqual(about(swapped, 'left'));
  expect(about(once, 'left')).not.toEqual(about(once, 'right'));
});

test('a tap that was not recorded has no findings, and no measurement makes none', () => {
  const measurements = measurementsOf({ radio: FALLING, settings: SETTINGS, tapId: 'left' });
  const findings = findAll({ session: sessionOf(FRONT), measurements });
  expect(findings.some(({ tapIds }) => tapIds.includes('right'))).toBe(false);
  expect(findAll({ session: sessionOf(FRONT), measurements: [] })).toEqual([]);
});

test('a dead tap is told and stops nothing', () => {
  const dead: Radio = { gainDb: () => -300, snrDb: 20 };
  const findings = found(FALLING, dead);
  expect(findingsOf(findings, 'routing').map(({ carries }) => carries)).toEqual(['left', 'nothing']);
  expect(findingsOf(findings, 'bass-change').map(({ verdict }) => verdict)).toEqual([
    'falls with volume',
    'cannot be told',
  ]);
});
