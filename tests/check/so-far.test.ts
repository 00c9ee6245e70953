import { describe, expect, test } from 'vitest';
import { soFar } from '../../src/check/so-far.ts';
import type { Finding, FindingOf } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import { asWritten } from '../../src/model/reason.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { FrequencyResponse } from '../../src/model/response.ts';
import { reasonText } from '../../src/words/reason-text.ts';

const session = resolveSession(
  { settings: [10, 20, 30], taps: ['front-left', 'front-right'] },
  { folderFiles: ['10.wav', '20.wav', '30.wav'] },
);

/** Flat above, and `bassDb` below 200 Hz. */
function response(bassDb: number): FrequencyResponse {
  return {
    real: gridFrequencyHz.map((hz) => 10 ** ((hz < 200 ? bassDb : 0) / 20)),
    imag: new Float64Array(gridFrequencyHz.length),
    sigma: new Float64Array(gridFrequencyHz.length),
    trustedHz: [10, 19_000],
  };
}

function measurement(tapId: string, setting: number, bassDb = 0): TapMeasurement {
  return {
    tapId,
    setting,
    evidence: [],
    timeOrigin: '',
    left: response(bassDb),
    right: response(-100),
    bothLowDrive: null,
    ladders: [{ toneHz: 997, highestHarmonic: 10, steps: [] }],
    noise: null,
    recorder: { peakDbFs: -20, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
    voltsPerFullScale: null,
    supplyVolts: null,
    repeats: { count: 1, spreadDb: 0 },
  };
}

const base = (tapId: string) => ({ tapIds: [tapId], evidence: [] });
const band = (tapId: string): FindingOf<'band'> => ({
  ...base(tapId),
  kind: 'band',
  id: 'band',
  verdict: 'full range',
  reason: null,
  lowEdge: null,
  highEdge: null,
  fixedEq: [],
});
const bass = (tapId: string, changes: Partial<FindingOf<'bass-change'>>): FindingOf<'bass-change'> => ({
  ...base(tapId),
  kind: 'bass-change',
  id: 'bass',
  verdict: 'steady',
  reason: null,
  plateauSettings: [],
  changes: [],
  onset: null,
  shape: null,
  recordNext: null,
  ...changes,
});
const cleanSettings = (
  tapId: string,
  clean: number | null,
  clips: number | null,
): FindingOf<'clean-settings'> => ({
  ...base(tapId),
  kind: 'clean-settings',
  id: 'clean-settings',
  settings: [],
  highestCleanRecorded: clean,
  firstClippingRecorded: clips,
  highestCleanComputed: null,
  mostBoostedHz: 997,
});

const LEFT = [10, 20, 30].map((setting) => measurement('front-left', setting));
const said = (findings: readonly Finding[], measurements = LEFT) =>
  soFar({ session, measurements, findings });
const text = (findings: readonly Finding[], measurements = LEFT) =>
  said(findings, measurements)[0].known.map(reasonText).join(', ');

describe('what is known so far', () => {
  test('is one line for taps that say the same', () => {
    const both = [...LEFT, ...LEFT.map((one) => ({ ...one, tapId: 'front-right' }))];
    const findings = ['front-left', 'front-right'].flatMap((id) => [
      band(id),
      bass(id, {}),
      cleanSettings(id, 20, 30),
    ]);
    expect(said(findings, both)).toEqual([
      {
        tapIds: ['front-left', 'front-right'],
        known: [
          { code: 'full range' },
          { code: 'bass steady' },
          { code: 'clips between', clean: 20, clips: 30, mayBeRecorder: false },
        ],
      },
    ]);
  });

  test('gives the bracket of a bass loss and its most', () => {
    const changes = [{ setting: 30, changeDb: [-6, -4, -3, -2].map((value) => ({ value, plusMinus: 0.1 })) }];
    const onset = { lastIntact: 20, firstChanged: 30, midpoint: 25, atHz: 40, thresholdDb: 0.5 };
    expect(text([bass('front-left', { verdict: 'falls with volume', changes, onset })])).toBe(
      'the radio starts cutting bass between 20 and 30: at 30 it takes 6.0 dB at 40 Hz',
    );
  });

  test('gives the difference itself where a loss cannot be told from a lift yet', () => {
    const falling = [0, -3, -9].map((db, i) => measurement('front-left', 10 * (i + 1), db));
    expect(
      text([bass('front-left', { verdict: 'cannot be told', reason: asWritten('no plateau') })], falling),
    ).toBe('bass at 40 Hz 9.0 dB lower at 30 than at 10 (from where on is not known yet)');
    expect(text([bass('front-left', { verdict: 'cannot be told', reason: asWritten('too few') })])).toBe(
      'bass alike at 10 and 30',
    );
  });

  test.each([
    [20, 30, 'clips between 20 and 30'],
    [30, null, 'clean up to 30, the highest recorded'],
    [20, null, 'clean up to 20, not known above it'],
    [null, 10, 'clips at 10 already, the lowest recorded'],
    [null, null, 'clipping not known'],
  ])('clean at %s, clipping at %s: %s', (clean, clips, expected) => {
    expect(text([cleanSettings('front-left', clean, clips)])).toBe(expected);
  });

  test('says of a clip that may be the recorder’s own that it may be', () => {
    const doubted: Finding = {
      ...base('front-left'),
      kind: 'clipping',
      id: 'clipping',
      toneHz: 997,
      perSetting: [],
      place: 'none seen',
      highestHarmonic: 10,
      mayBeRecorder: true,
    };
    expect(said([cleanSettings('front-left', 20, 30), doubted])[0].known).toEqual([
      { code: 'clips between', clean: 20, clips: 30, mayBeRecorder: true },
    ]);
  });

  test('does not speak of clipping where no ladder was played', () => {
    const quick = LEFT.map((one) => ({ ...one, ladders: [] }));
    expect(text([band('front-left')], quick)).toBe('full range, clipping not recorded');
  });
});
