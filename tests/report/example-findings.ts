import type { Evidence } from '../../src/model/evidence.ts';
import { BASS_FREQUENCIES_HZ, type Finding } from '../../src/model/finding.ts';
import { measured, notMeasurable } from '../../src/model/measured.ts';
import { asWritten } from '../../src/model/reason.ts';
import { bassLossDb, SETTINGS } from './example-results.ts';

type EvidenceOf = (tapId: string, setting: number) => Evidence;

/** At least one finding of every kind, known and not. */
export function exampleFindings(evidenceOf: EvidenceOf): Finding[] {
  const all = (tapId: string) => SETTINGS.map((setting) => evidenceOf(tapId, setting));
  const base = (kind: string, tapId: string) => ({
    id: `${kind}:${tapId}`,
    tapIds: [tapId],
    evidence: all(tapId),
  });
  const bassTaps = ['door-l', 'door-r', 'rear-l', 'rear-r'];
  return [
    ...bassTaps.map(
      (tapId): Finding => ({
        ...base('bass-change', tapId),
        kind: 'bass-change',
        verdict: 'falls with volume',
        reason: null,
        plateauSettings: [10, 14, 18],
        changes: SETTINGS.map((setting) => ({
          setting,
          changeDb: BASS_FREQUENCIES_HZ.map((hz) =>
            measured({ value: -bassLossDb(setting) / (1 + (hz / 60) ** 3), plusMinus: 0.06 }),
          ),
        })),
        onset: { lastIntact: 18, firstChanged: 22, midpoint: 20, atHz: 40, thresholdDb: 0.5 },
        shape: {
          model: 'shelf or high-pass',
          reason: asWritten('both fit the response within its uncertainty'),
          perSetting: [
            {
              setting: 38,
              shelf: { frequencyHz: 60, gainDb: -10.8 },
              highPass: { order: 2, fromHz: 30, cornerHz: 74 },
            },
          ],
        },
        recordNext: 20,
      }),
    ),
    ...['dash-l', 'dash-r'].map(
      (tapId): Finding => ({
        ...base('bass-change', tapId),
        kind: 'bass-change',
        verdict: 'cannot be told',
        reason: asWritten('there is no bass to judge'),
        plateauSettings: [],
        changes: [],
        onset: null,
        shape: null,
        recordNext: null,
      }),
    ),
    ...['dash-l', 'dash-r'].map(
      (tapId): Finding => ({
        ...base('band', tapId),
        kind: 'band',
        verdict: 'band-limited',
        reason: null,
        lowEdge: {
          minus3Hz: measured({ value: 4661, plusMinus: 30 }),
          minus6Hz: measured({ value: 3000, plusMinus: 20 }),
          slopeDbPerOctave: 12,
          filter: { family: 'linkwitz-riley', order: 2, cornerHz: measured({ value: 3000, plusMinus: 25 }) },
        },
        highEdge: null,
        fixedEq: [],
      }),
    ),
    ...['door-l', 'door-r'].map(
      (tapId): Finding => ({
        ...base('band', tapId),
        kind: 'band',
        verdict: 'band-limited',
        reason: null,
        lowEdge: null,
        highEdge: {
          minus3Hz: measured({ value: 1931, plusMinus: 15 }),
          minus6Hz: measured({ value: 3000, plusMinus: 20 }),
          slopeDbPerOctave: 12,
          filter: notMeasurable(
            asWritten('two families fit equally well'),
            asWritten('one more take at setting 26'),
          ),
        },
        fixedEq: [{ frequencyHz: 250, gainDb: -2.5, q: 1.2 }],
      }),
    ),
    ...['rear-l', 'rear-r'].map(
      (tapId): Finding => ({
        ...base('band', tapId),
        kind: 'band',
        verdict: 'full range',
        reason: null,
        lowEdge: null,
        highEdge: null,
        fixedEq: [],
      }),
    ),
    ...['l', 'r'].map(
      (side): Finding => ({
        id: `crossover:${side}`,
        tapIds: [`door-${side}`, `dash-${side}`],
        evidence: [evidenceOf(`door-${side}`, 26), evidenceOf(`dash-${side}`, 26)],
        kind: 'crossover',
        lowTapId: `door-${side}`,
        highTapId: `dash-${side}`,
        frequencyHz: measured({ value: 3000, plusMinus: 18 }),
      }),
    ),
    ...['dash', 'door', 'rear'].flatMap((place) =>
      ['l', 'r'].map(
        (side): Finding => ({
          ...base('routing', `${place}-${side}`),
          kind: 'routing',
          leftDb: side === 'l' ? 0 : -66,
          rightDb: side === 'l' ? -66 : 0,
          carries: side === 'l' ? 'left' : 'right',
          agreesWithSession: true,
        }),
      ),
    ),
    {
      ...base('timing', 'rear-r'),
      kind: 'timing',
      tapId: 'rear-r',
      referenceTapId: 'rear-l',
      delaySeconds: measured({ value: 1e-7, plusMinus: 2e-6 }),
      polarity: 'inverted',
      reason: null,
    },
    {
      ...base('timing', 'dash-l'),
      kind: 'timing',
      tapId: 'dash-l',
      referenceTapId: 'rear-l',
      delaySeconds: notMeasurable(
        asWritten('the two were not recorded together'),
        asWritten('dash left and rear left in one file'),
      ),
      polarity: 'ambiguous',
      reason: asWritten('the two were not recorded together'),
    },
    ...['dash-l', 'door-l', 'rear-l'].map(
      (tapId): Finding => ({
        ...base('volume-law', tapId),
        kind: 'volume-law',
        levels: SETTINGS.map((setting) => ({
          setting,
          levelDbFs: -9.3 + (setting - 30) + tapOffsetDb(tapId),
          voltsRms: measured({
            value: 6.85 * 10 ** ((setting - 30 + tapOffsetDb(tapId)) / 20),
            plusMinus: 0.015 * 6.85 * 10 ** ((setting - 30 + tapOffsetDb(tapId)) / 20),
          }),
        })),
        dbPerStep: 1,
        followsVolume: true,
      }),
    ),
    {
      ...base('clipping', 'rear-l'),
      kind: 'clipping',
      toneHz: 997,
      perSetting: SETTINGS.map((setting) => ({
        setting,
        driveDbFs:
          setting < 34
            ? notMeasurable(asWritten('no drive in the track reaches 1 %'))
            : measured({ value: 2.55 - (setting - 30), plusMinus: 0.1 }),
        voltsRms:
          setting < 34
            ? notMeasurable(asWritten('no drive in the track reaches 1 %'))
            : measured({ value: 9.1, plusMinus: 0.14 }),
      })),
      place: 'after the volume control',
      highestHarmonic: 10,
    },
    {
      ...base('clean-settings', 'rear-l'),
      kind: 'clean-settings',
      settings: [...SETTINGS],
      highestCleanRecorded: 30,
      firstClippingRecorded: 34,
      highestCleanComputed: 32,
      mostBoostedHz: 997,
    },
    {
      ...base('rail', 'rear-l'),
      kind: 'rail',
      clipVoltsPeak: measured({ value: 12.6, plusMinus: 0.2 }),
      expectedVoltsPeak: [12.4, 13.4],
      verdict: 'as the supply allows',
      question: null,
    },
    {
      ...base('noise', 'rear-l'),
      kind: 'noise',
      perSetting: SETTINGS.map((setting) => ({
        setting,
        underQuietToneDbFs: -92 + setting / 10,
        underQuietToneVolts: measured({ value: 5e-4, plusMinus: 1e-5 }),
        inSilenceDbFs: -108,
      })),
      lines: [50, 100, 150, 250, 350, 1250].map((frequencyHz, i) => ({
        frequencyHz,
        levelDbFs: -88 - 3 * i,
      })),
      mainsHz: 50,
      mutesInSilence: true,
      limitedBy: 'radio',
    },
  ];
}

/** The dash tweeters are fed 2 dB less. */
function tapOffsetDb(tapId: string): number {
  return tapId.startsWith('dash') ? -2 : tapId.startsWith('door') ? 0.5 : 0;
}
