import { describe, expect, test } from 'vitest';
import { takesToRecord } from '../../src/check/takes-to-record.ts';
import { NO_FULL_RANGE_TAP } from '../../src/findings/bass/bass-levels.ts';
import { NO_LOW_DRIVE } from '../../src/findings/bass/bass-onset.ts';
import type { FindingOf } from '../../src/model/finding.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import type { Reason } from '../../src/model/reason.ts';
import { codeOf } from '../../src/model/reason.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';

const SETTINGS = [10, 20, 30, 40, 50];
const session = resolveSession(
  { settings: SETTINGS, taps: ['front-left', 'rear-left'] },
  { folderFiles: SETTINGS.map((setting) => `setting-${setting}.wav`) },
);

const UNHEARD = {
  real: new Float64Array(),
  imag: new Float64Array(),
  sigma: new Float64Array(),
  trustedHz: null,
};
/** What is left of a take of the response-only track where nothing but its kind counts. */
const QUICK: Omit<TapMeasurement, 'tapId' | 'setting' | 'timeOrigin'> = {
  evidence: [],
  left: UNHEARD,
  right: UNHEARD,
  bothLowDrive: null,
  ladders: [],
  noise: null,
  recorder: { peakDbFs: -20, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
  voltsPerFullScale: null,
  supplyVolts: null,
  repeats: { count: 1, spreadDb: 0 },
};

/** A tap that was recorded at some settings and lost so much bass at each frequency. */
function bassChange(tapId: string, lossDb: Readonly<Record<number, number>>): FindingOf<'bass-change'> {
  return {
    kind: 'bass-change',
    id: `bass-change:${tapId}`,
    tapIds: [tapId],
    evidence: [],
    verdict: 'falls with volume',
    reason: null,
    plateauSettings: [],
    changes: Object.entries(lossDb).map(([setting, db]) => ({
      setting: Number(setting),
      changeDb: [db, db, db, db].map((value) => ({ value: -value, plusMinus: 0.05 })),
    })),
    onset: null,
    shape: null,
    recordNext: null,
  };
}
const first = bassChange('front-left', { 10: 0, 20: 0, 30: 0, 40: 3, 50: 8 });
const next = (findings: FindingOf<'bass-change'>[]) =>
  takesToRecord({ session, measurements: [], findings, missing: [] }).filter(
    ({ why }) => codeOf(why) === 'bass differs from another output',
  );

describe('the pair that differs from the first', () => {
  test('is to be recorded at the settings that it lacks', () => {
    expect(next([first, bassChange('rear-left', { 10: 0, 30: 0, 50: 6.5 })])).toEqual([
      {
        tapIds: ['rear-left'],
        settings: [20, 40],
        needed: true,
        why: {
          code: 'bass differs from another output',
          tapIds: ['front-left'],
          differsDb: expect.closeTo(1.4, 6),
        },
      },
    ]);
  });

  test('needs no more where it goes the same way within half a decibel', () => {
    expect(next([first, bassChange('rear-left', { 10: 0, 30: 0, 50: 7.6 })])).toEqual([]);
  });

  test('needs no more where it has every setting', () => {
    expect(next([first, bassChange('rear-left', { 10: 0, 20: 0, 30: 0, 40: 1, 50: 4 })])).toEqual([]);
  });
});

test('what is missing comes first, and what is needed before what is merely good to have', () => {
  const onset = { lastIntact: 30, firstChanged: 40, midpoint: 35, atHz: 40, thresholdDb: 0.5 };
  const lines = takesToRecord({
    session,
    measurements: [],
    findings: [{ ...first, plateauSettings: [10, 20, 30], onset, recordNext: 35 }],
    missing: [{ tapId: 'rear-left', settings: [50] }],
  });
  expect(lines.map(({ settings, needed }) => [settings, needed])).toEqual([
    [[50], true],
    [[], true],
    [[35], false],
  ]);
});

describe('bass that cannot be told', () => {
  const notKnown = (tapId: string, reason: Reason) => ({
    ...bassChange(tapId, {}),
    verdict: 'cannot be told' as const,
    reason,
  });

  test('of a subwoofer recorded alone: together with a full-range output', () => {
    const alone = resolveSession(
      { settings: SETTINGS, taps: ['subwoofer'] },
      { folderFiles: SETTINGS.map((setting) => `setting-${setting}.wav`) },
    );
    expect(
      takesToRecord({
        session: alone,
        measurements: [],
        findings: [notKnown('subwoofer', NO_FULL_RANGE_TAP)],
        missing: [],
      }),
    ).toContainEqual({
      tapIds: ['subwoofer'],
      settings: [],
      needed: true,
      why: { code: 'bass needs a full-range output beside it' },
    });
  });

  test.each<[Reason, boolean, string]>([
    [NO_LOW_DRIVE, true, 'limiter or volume not known without the full track'],
    [
      { code: 'too few levels', levels: 1, settings: 2 },
      false,
      'clipping and noise not known without the full track',
    ],
  ])(
    'with response-only tracks alone (%s): the full track at the highest setting',
    (reason, needed, code) => {
      const measurements = [10, 50].map(
        (setting): TapMeasurement => ({ ...QUICK, tapId: 'front-left', setting, timeOrigin: `${setting}` }),
      );
      expect(
        takesToRecord({ session, measurements, findings: [notKnown('front-left', reason)], missing: [] }),
      ).toContainEqual({ tapIds: ['front-left'], settings: [50], needed, why: { code } });
    },
  );
});

test('a loss without a reference asks for the setting that gives one before the dash is closed', () => {
  const onset = { lastIntact: 30, firstChanged: 40, midpoint: 35, atHz: 40, thresholdDb: 0.5 };
  const [, bass] = takesToRecord({
    session,
    measurements: [],
    findings: [{ ...first, plateauSettings: [], onset, recordNext: 15 }],
    missing: [],
  });
  expect(bass).toMatchObject({
    settings: [15],
    needed: true,
    why: { code: 'bass cannot be judged yet' },
    because: { code: 'no three settings agree' },
  });
});

describe('where clipping begins', () => {
  const asked = (highestCleanComputed: number | null) => {
    const clean: FindingOf<'clean-settings'> = {
      kind: 'clean-settings',
      id: 'clean',
      tapIds: ['front-left'],
      evidence: [],
      settings: SETTINGS,
      highestCleanRecorded: 30,
      firstClippingRecorded: 40,
      highestCleanComputed,
      mostBoostedHz: 1000,
    };
    return takesToRecord({ session, measurements: [], findings: [clean], missing: [] }).flatMap(
      ({ settings, why }) => (codeOf(why) === 'clipping begins between' ? settings : []),
    );
  };

  test('is asked for where the volume law says so, as in the report, else in the middle', () => {
    expect([asked(32.9), asked(null), asked(30.4)]).toEqual([[32], [35], []]);
  });
});
