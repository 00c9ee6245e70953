import { beforeAll, describe, expect, test } from 'vitest';
import type { Check } from '../../src/model/check.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf, type ReasonCode } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import type { TapInput } from '../../src/simulate/scenario.ts';
import { statementText } from '../../src/words/statement-text.ts';
import { analysedSpoilt, applyGain } from './spoilt.ts';

const SETTINGS = [12, 16, 20];
/** Both fronts of the examples are alike: one serves where nothing is asked of two. */
const ONE_TAP = { taps: [{ id: 'front-left', side: 'left', position: 'front' }] } satisfies {
  taps: TapInput[];
};
const quick = (changes: Parameters<typeof exampleScenario>[1] = {}) =>
  exampleScenario('flat full range', { settings: SETTINGS, track: 'response only', ...changes });
const codes = (checks: Check | undefined) =>
  checks!.takes.flatMap(({ remarks }) => remarks.map(({ reason }) => codeOf(reason)));
const isFading = (code: ReasonCode | null) => /^(muted|fading)/.test(code ?? '');
const volume = (voltsRms: number) => ({ atSetting: 30, voltsRms, dbPerStep: 1 });

describe('an output that fades in', () => {
  const flat = analysedSpoilt({ scenario: quick(ONE_TAP) });

  test.each([3, 5])(
    'over %d s: told, and neither a band limit nor bass is claimed from what is missing',
    (seconds) => {
      const { checks, findings } = analysedSpoilt({
        scenario: quick({ ...ONE_TAP, everyTap: { fadeInSeconds: seconds } }),
      });
      expect(codes(checks).filter(isFading).length).toBeGreaterThan(0);
      expect(checks!.mayCloseDash).toBe(false);
      for (const { verdict } of findingsOf(findings, 'band')) expect(verdict).not.toBe('band-limited');
      for (const { verdict } of findingsOf(findings, 'bass-change'))
        expect(verdict).not.toBe('falls with volume');
    },
  );

  test.each([
    [1, null, 1.9],
    [2, 19.7, 8],
    [2.4, 31.6, 9.5],
  ] as const)(
    'over %d s, most of it under the lead-in: told, and nothing that the sweep passed meanwhile is claimed',
    (seconds, mutedUpToHz, lacksDb) => {
      const { checks, findings, measurements } = analysedSpoilt({
        scenario: quick({ everyTap: { fadeInSeconds: seconds } }),
      });
      expect(codes(checks).filter(isFading)).toHaveLength(6);
      for (const { facts } of checks!.takes) {
        const [left, right] = facts.channels;
        expect(left.leadInExcessDb!).toBeCloseTo(-lacksDb, 0);
        expect(right.mutedUpToHz).toBeNull();
        if (mutedUpToHz === null) expect(left.mutedUpToHz).toBeNull();
        else expect(Math.abs(left.mutedUpToHz! / mutedUpToHz - 1)).toBeLessThan(0.05);
      }
      // The sweep begins at 1.5 s and passes 10 Hz x 2000^((t - 1.5) / 6): 18.8 Hz at 2 s, 31.3 Hz at 2.4 s.
      const fadedUpToHz = Math.max(12, 10 * 2000 ** ((seconds - 1.5) / 6));
      const [left] = measurements;
      expect(left.left.trustedHz![0]).toBeGreaterThanOrEqual(fadedUpToHz);
      const from = gridFrequencyHz.findIndex((hz) => hz >= left.left.trustedHz![0]);
      const { magnitudeDb } = left.left;
      const plain = flat.measurements[0].left.magnitudeDb;
      const errors = magnitudeDb.slice(from, -10).map((db, i) => Math.abs(db - plain[from + i]));
      expect(Math.max(...errors)).toBeLessThan(0.06);
      for (const { verdict } of findingsOf(findings, 'band')) expect(verdict).toBe('full range');
      for (const { verdict } of findingsOf(findings, 'bass-change')) expect(verdict).toBe('steady');
      expect(checks!.mayCloseDash).toBe(seconds < 2.4);
    },
  );

  test('is not seen where there is none, also at 30 dB signal to noise', () => {
    const noisy = analysedSpoilt({ scenario: quick({ ...ONE_TAP, everyTap: { noise: { snrDb: 30 } } }) });
    for (const { checks } of [flat, noisy]) expect(codes(checks).filter(isFading)).toEqual([]);
  });

  test.each(['limiter before the volume control', 'limiter after the volume control'] as const)(
    'is not seen in a %s',
    (name) => {
      const { checks } = analysedSpoilt({
        scenario: exampleScenario(name, { ...ONE_TAP, settings: [32], track: 'response only' }),
      });
      expect(codes(checks).filter(isFading)).toEqual([]);
    },
  );
});

describe('tone, fade and balance off centre', () => {
  const FOUR = [
    { id: 'front-left', side: 'left', position: 'front', volume: volume(6.85) },
    { id: 'front-right', side: 'right', position: 'front', volume: volume(6.85) },
    { id: 'rear-left', side: 'left', position: 'rear', volume: volume(6.85) },
    { id: 'rear-right', side: 'right', position: 'rear', volume: volume(6.85) },
  ] satisfies TapInput[];
  const notes = (taps: readonly TapInput[], everyTap: TapInput = {}, controls?: SessionInput['controls']) =>
    analysedSpoilt({
      scenario: quick({ settings: [16, 20], taps, everyTap }),
      session: (input) => ({ ...input, ...(controls === undefined ? {} : { controls }) }),
    }).checks!.notes.map((note) => statementText(note));

  test('at centre nothing is said', () => {
    expect(notes(FOUR)).toEqual([]);
  });

  test('fade: the rears are 4 dB quieter at every setting', () => {
    const faded = FOUR.map((tap) =>
      tap.position === 'rear' ? { ...tap, volume: volume(6.85 * 10 ** (-4 / 20)) } : tap,
    );
    expect(notes(faded)).toEqual([
      expect.stringMatching(/^front-left: 4\.0 dB louder than rear-left at every setting: is fade at centre/),
      expect.stringMatching(/^front-right: 4\.0 dB louder than rear-right/),
    ]);
  });

  test('balance: the right side is 2 dB quieter at every setting', () => {
    const turned = FOUR.map((tap) =>
      tap.side === 'right' ? { ...tap, volume: volume(6.85 * 10 ** (-2 / 20)) } : tap,
    );
    expect(notes(turned)).toEqual([
      expect.stringMatching(
        /^front-left: 2\.0 dB louder than front-right at every setting: is balance at centre/,
      ),
      expect.stringMatching(/^rear-left: 2\.0 dB louder than rear-right/),
    ]);
  });

  test('fronts above a crossover, with the bass on an output of its own, are no tone control turned down', () => {
    const crossed = (side: 'high-pass' | 'low-pass') =>
      ({ crossover: [{ side, family: 'butterworth', order: 2, cornerHz: 120 }] }) satisfies TapInput;
    const [left, right] = FOUR;
    const subwoofer = { id: 'sub', side: 'both', position: 'subwoofer', volume: volume(6.85) } as const;
    const [high, low] = [crossed('high-pass'), crossed('low-pass')];
    expect(
      notes([
        { ...left, ...high },
        { ...right, ...high },
        { ...subwoofer, ...low },
      ]),
    ).toEqual([]);
  });

  test('tone: every output has 6 dB of bass', () => {
    const fixedEq = [{ kind: 'low shelf', frequencyHz: 120, gainDb: 6 }] as const;
    expect(notes(FOUR, { fixedEq: [...fixedEq] })).toEqual([
      expect.stringMatching(
        /^every full-range output has its bass lifted by \d\.\d dB or more: is tone at centre/,
      ),
    ]);
    // Somebody looked: then the radio is made that way.
    expect(notes(FOUR, { fixedEq: [...fixedEq] }, { bass: 0 })).toEqual([]);
  });
});

describe('volume that moves by itself', () => {
  test.each([
    ['a supply that sags by 0.8 dB', { gainDb: -0.8, fromSeconds: 3, toSeconds: 15 }],
    ['volume that rises by 3 dB with the speed', { gainDb: 3, fromSeconds: 9, toSeconds: 12 }],
  ])('%s during each take: told with its size, and no bass is said to fall', (_, gainDrift) => {
    const { checks, findings } = analysedSpoilt({ scenario: quick({ everyTap: { gainDrift } }) });
    const [{ facts }] = checks!.takes;
    expect(Math.abs(facts.channels[0].gainChangeDb!.value)).toBeGreaterThan(0.7 * Math.abs(gainDrift.gainDb));
    for (const { remarks } of checks!.takes)
      expect(remarks.map(({ reason, weight }) => [codeOf(reason), weight])).toContainEqual([
        'gain changed within the take',
        'record again',
      ]);
    // The left sweep is over before most of it moves, and shows it; the right tap of the same take is asked for too.
    expect(checks!.missing).toEqual([
      { tapId: 'front-left', settings: SETTINGS },
      { tapId: 'front-right', settings: SETTINGS },
    ]);
    expect(checks!.mayCloseDash).toBe(false);
    for (const { verdict } of findingsOf(findings, 'bass-change'))
      expect(verdict).not.toBe('falls with volume');
    for (const { verdict } of findingsOf(findings, 'band')) expect(verdict).not.toBe('band-limited');
  });

  test('a repeat that is 2 dB louder is asked about, and the dash stays open', () => {
    const { checks } = analysedSpoilt({
      scenario: quick({ files: { repeats: 2 } }),
      spoil: (recording, index) => {
        if (index !== 3) return;
        for (const channel of recording.channels) applyGain(channel, recording, () => 10 ** (2 / 20));
      },
    });
    expect(codes(checks)).toContain('differs from an earlier take');
    expect(checks!.reasons).toContainEqual({
      tapIds: [],
      settings: [16],
      reason: expect.objectContaining({
        code: 'differs from an earlier take',
        differsDb: expect.closeTo(2, 1),
      }),
    });
    expect(checks!.mayCloseDash).toBe(false);
  });
});

describe.each(['full', 'response only'] as const)('automatic gain at every setting, track: %s', (track) => {
  let results: Results;
  beforeAll(() => {
    const changes = { settings: [12, 20, 26], track, recorder: { automaticGain: {} } };
    results = analysedSpoilt({ scenario: exampleScenario('shelf loss', changes) });
  });

  test('is told of every take, and the dash stays open', () => {
    expect(codes(results.checks).filter((code) => code === 'gain follows the level')).toHaveLength(6);
    expect(results.checks!.mayCloseDash).toBe(false);
  });

  test('nothing is claimed about bass, bands, limiters, levels or clipping', () => {
    const { findings } = results;
    for (const { verdict } of findingsOf(findings, 'bass-change')) expect(verdict).toBe('cannot be told');
    for (const { verdict } of findingsOf(findings, 'band')) expect(verdict).toBe('cannot be told');
    for (const { perSetting } of findingsOf(findings, 'clipping'))
      for (const { driveDbFs } of perSetting) expect(isNotMeasurable(driveDbFs)).toBe(true);
    for (const { highestCleanRecorded } of findingsOf(findings, 'clean-settings'))
      expect(highestCleanRecorded).toBeNull();
    for (const kind of ['bass-limiter', 'volume-law', 'rail', 'loudness-contour', 'crossover'] as const)
      expect(findingsOf(findings, kind)).toEqual([]);
  });
});

test('a quiet subwoofer output whose noise stands above its band at the low settings is in no doubt', () => {
  const { doubts } = analysedSpoilt({
    scenario: exampleScenario('flat full range', {
      settings: [8, 16, 24, 32, 40],
      track: 'response only',
      everyTap: { volume: { atSetting: 40, voltsRms: 3.6, dbPerStep: 1.1 }, noise: { voltsRms: 0.00008 } },
      taps: [
        { id: 'front-left', side: 'left', position: 'front' },
        {
          id: 'subwoofer',
          side: 'both',
          position: 'subwoofer',
          crossover: [{ side: 'low-pass', family: 'butterworth', order: 2, cornerHz: 120 }],
        },
      ],
      recorder: { padRatio: 4, fullScaleVoltsRms: 1.4 },
    }),
  });
  expect(doubts ?? []).toEqual([]);
});
