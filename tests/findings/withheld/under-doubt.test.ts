import { describe, expect, test } from 'vitest';
import { findAll } from '../../../src/findings/find-all.ts';
import { underDoubt } from '../../../src/findings/withheld/under-doubt.ts';
import { DOUBT_KINDS, type Doubt } from '../../../src/model/doubt.ts';
import { findingsOf } from '../../../src/model/finding.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { findingsOfEveryKind } from '../../report/every-finding.ts';
import { someOf } from '../../some-of.ts';
import { measurementsOf, sessionOf, shelf, tapOf } from '../synthetic.ts';

const SETTINGS = [10, 14, 18, 22, 26, 30];
const radio = {
  gainDb: (setting: number) => setting - 40,
  filters: (setting: number) => [shelf(80, -Math.max(0, setting - 18) * 0.75)],
  clip: { driveDbFs: (setting: number) => 28 - setting, beforeFilters: false },
  snrDb: 70,
  voltsPerFullScale: 20,
};
const measurements = measurementsOf({ radio, settings: SETTINGS });
const doubtAbout = (kind: Doubt['kind'], settings: number[] | null): Doubt => ({
  kind,
  reason: { code: 'settings exchanged', settings: settings ?? SETTINGS },
  tapIds: ['front-left'],
  settings,
});
const found = (doubts: readonly Doubt[], of: readonly TapMeasurement[] = measurements) =>
  findAll({ session: sessionOf([tapOf()]), measurements: of, doubts });

test('no number of a take in doubt is in any finding, and each that rests on it says so', () => {
  for (const kind of ['take', 'setting'] as const) {
    const findings = found([doubtAbout(kind, [26, 30])]);
    const [bass] = findingsOf(findings, 'bass-change');
    expect(bass.changes.map(({ setting }) => setting)).toEqual([10, 14, 18, 22]);
    expect(bass.doubts).toMatchObject([{ kind, settings: [26, 30] }]);
    for (const clipping of someOf(findingsOf(findings, 'clipping'))) {
      expect(clipping.perSetting.map(({ setting }) => setting)).toEqual([10, 14, 18, 22]);
      expect(clipping.doubts).toHaveLength(1);
    }
    const [clean] = findingsOf(findings, 'clean-settings');
    expect(clean).toMatchObject({ highestCleanRecorded: 22, firstClippingRecorded: null });
    expect(clean.notKnown).toEqual({ settings: [26, 30], because: 'in doubt' });
    expect(clean.doubts).toHaveLength(1);
  }
});

test('a steady bass of which the loudest take is in doubt is not called steady', () => {
  const flat = measurementsOf({ radio: { ...radio, filters: () => [] }, settings: SETTINGS });
  expect(findingsOf(found([], flat), 'bass-change')[0].verdict).toBe('steady');
  expect(findingsOf(found([doubtAbout('take', [18])], flat), 'bass-change')[0].verdict).toBe('steady');
  expect(findingsOf(found([doubtAbout('take', [30])], flat), 'bass-change')[0]).toMatchObject({
    verdict: 'cannot be told',
    reason: { code: 'steady only so far', upToSetting: 26, openSettings: [30] },
  });
});

test('where all takes of a tap are in doubt nothing is claimed of it but what it carries', () => {
  const kinds = found([doubtAbout('take', null)]);
  for (const finding of kinds) {
    switch (finding.kind) {
      case 'bass-change':
        expect([finding.verdict, finding.changes, finding.onset]).toEqual(['cannot be told', [], null]);
        break;
      case 'band':
        expect([finding.verdict, finding.lowEdge, finding.highEdge]).toEqual(['cannot be told', null, null]);
        break;
      case 'clipping':
        expect(finding.place).toBe('cannot be told');
        break;
      case 'clean-settings':
        expect([finding.highestCleanRecorded, finding.firstClippingRecorded]).toEqual([null, null]);
        break;
      default:
        expect(['routing', 'recorder-clipping']).toContain(finding.kind);
    }
  }
});

describe('the table of what withholds what', () => {
  const reason = { code: 'heard by a microphone' } as const;
  const left = (kind: Doubt['kind']) =>
    findingsOfEveryKind.flatMap((finding) => {
      const doubt: Doubt = { kind, reason, tapIds: [...finding.tapIds], settings: null };
      return underDoubt([finding], { doubts: [doubt], measurements: [] });
    });

  test.each(DOUBT_KINDS)(
    'a doubt of kind %s leaves findings that are findings, each with its doubt',
    (kind) => {
      for (const finding of left(kind))
        for (const doubt of finding.doubts ?? []) expect(doubt).toMatchObject({ kind, reason });
    },
  );

  test.each([
    ['gain', /Volts|levels/],
    ['volts', /"(volts|levelVolts|underQuietToneVolts)(Rms)?":\{"value"/],
    ['take', /"(value)":/],
  ] as const)(
    'under doubtful %s no figure of that sort is left in findings that rest on it',
    (kind, figure) => {
      for (const finding of left(kind)) {
        if (finding.kind === 'rail' || finding.doubts === undefined) continue;
        expect(JSON.stringify({ ...finding, doubts: [] })).not.toMatch(figure);
      }
    },
  );
});

test('several doubts that leave no take between them withhold what one about all of them would', () => {
  const apart = found([doubtAbout('take', [10, 14, 18]), { ...doubtAbout('take', [22, 26, 30]) }]);
  const [bass] = findingsOf(apart, 'bass-change');
  expect(bass).toMatchObject({ verdict: 'cannot be told', changes: [] });
  for (const clean of someOf(findingsOf(apart, 'clean-settings')))
    expect(clean.highestCleanRecorded).toBeNull();
  const [left] = findingsOf(
    found([doubtAbout('take', [10]), doubtAbout('setting', [26, 30])]),
    'bass-change',
  );
  expect(left.changes.map(({ setting }) => setting)).toEqual([14, 18, 22]);
});

test('how far the tones were clean goes no further than a take that is in doubt', () => {
  const lifted = measurementsOf({
    radio: { ...radio, filters: () => [shelf(40, 1.5)], clip: undefined },
    settings: SETTINGS,
  });
  const upTo = (settings: number[]) => {
    const [clean] = findingsOf(found([doubtAbout('take', settings)], lifted), 'clean-settings');
    return clean.asLoudAsPlayed?.setting;
  };
  expect(findingsOf(found([], lifted), 'clean-settings')[0].asLoudAsPlayed?.setting).toBe(30);
  expect(upTo([30])).toBe(26);
  // A louder take that was clean speaks for the softer one.
  expect(upTo([22])).toBe(30);
  expect(upTo(SETTINGS)).toBeUndefined();
});
