import { describe, expect, it } from 'vitest';
import type { AnalogSection } from '../../src/dsp/analog-section.ts';
import { evaluateSections, lowShelfSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { seededRandom } from '../../src/dsp/random.ts';
import type { EquipmentInput } from '../../src/model/equipment.ts';
import { asWritten } from '../../src/model/reason.ts';
import { recommendationSchema, recommendationsOf } from '../../src/model/recommendation.ts';
import { plainText } from '../../src/report/sentence.ts';
import { recommendationWords } from '../../src/report/wording/recommendation-words.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { recommend } from './recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio, type SyntheticTap } from './synthetic.ts';

const CARS = 100;
const SETTINGS = [8, 12, 16, 20, 24, 28];

type Response = NonNullable<SyntheticTap['response']>;

const through =
  (sections: readonly AnalogSection[], cornerHz: number): Response =>
  (frequencyHz) =>
    evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });

const behind =
  (...stages: Response[]): Response =>
  (hz, setting) =>
    stages.reduce(
      (one, stage) => {
        const other = stage(hz, setting);
        return {
          real: one.real * other.real - one.imag * other.imag,
          imag: one.real * other.imag + one.imag * other.real,
        };
      },
      { real: 1, imag: 0 },
    );

const linkwitz = (side: 'low-pass' | 'high-pass', cornerHz: number) =>
  through(prototypeSections({ family: 'linkwitz-riley', order: 4, side }), cornerHz);

/** A radio with or without a split, a high-pass, a bass cut, rears and a subwoofer output, and parts or none. */
function randomCar(seed: number): SyntheticRadio {
  const { uniform, between } = seededRandom(77, seed);
  const oneOf = <Value>(values: readonly Value[]) => values[Math.floor(uniform() * values.length)];
  const lossDb = oneOf([0, between([3, 20])]);
  const cut: Response = (hz, setting) =>
    through(lowShelfSections({ gainDb: (-lossDb * Math.max(0, setting - 16)) / 12 }), 90)(hz, setting);
  const highPassHz = oneOf([null, 60, 90, 150]);
  const stages =
    highPassHz === null
      ? [cut]
      : [cut, through(prototypeSections({ family: 'butterworth', order: 2, side: 'high-pass' }), highPassHz)];
  const splitHz = oneOf([null, between([500, 5000])]);
  const front =
    splitHz === null
      ? pair('front', { band: highPassHz === null ? FULL_RANGE : {}, response: behind(...stages) })
      : [
          ...pair('door', { response: behind(...stages, linkwitz('low-pass', splitHz)) }),
          ...pair('dash', {
            response: linkwitz('high-pass', splitHz),
            delaySeconds: oneOf([0, 0, between([0, 3e-4])]),
          }),
        ];
  const rear = oneOf([[], pair('rear', { band: FULL_RANGE, response: cut, delaySeconds: oneOf([0, 2e-3]) })]);
  const sub = oneOf([
    [],
    pair('subwoofer', { response: behind(cut, linkwitz('low-pass', between([70, 140]))) }),
  ]);
  const parts: EquipmentInput = {
    amplifiers: [
      {
        feeds: ['front', 'rear'],
        ratedWatts: between([30, 150]),
        highPass: { rangeHz: [50, 250], slopeDbPerOctave: oneOf([12, 24]) },
      },
      {
        feeds: ['subwoofer'],
        ratedWatts: between([100, 900]),
        lowPass: { rangeHz: [40, 160], slopeDbPerOctave: oneOf([12, 24]) },
      },
    ],
    converter: oneOf([
      null,
      {
        inputs: 8,
        inputLimitVoltsRms: 20,
        summing: 'any',
        eqBands: oneOf([0, 8]),
        maximumDelaySeconds: oneOf([0, 0.01]),
        trimRangeDb: oneOf([
          [0, 0],
          [-12, 0],
        ] as const) as [number, number],
        restoration: oneOf([null, { kind: 'dynamic', maximumDb: oneOf([6, 12]) }] as const),
      },
    ]),
  };
  return {
    taps: [...front, ...rear, ...sub],
    settings: SETTINGS,
    volts: oneOf([null, { at: 24, rms: between([2, 9]) }]),
    railVoltsPeak: oneOf([undefined, 12]),
    bassChange:
      lossDb === 0
        ? {}
        : {
            verdict: oneOf(['falls with volume', 'cannot be told'] as const),
            reason: asWritten('no three neighbouring settings agree'),
            plateauSettings: oneOf([[8, 12, 16], []]),
          },
    equipment: oneOf([null, parts]),
  };
}

describe(`${CARS} random cars`, () => {
  const cars = Array.from({ length: CARS }, (_, seed) => {
    const radio = randomCar(seed);
    return { name: `car ${seed}`, radio, plan: recommend(planInput(radio)) };
  });

  it('have advice that survives its file, and words without gaps', () => {
    for (const { name, plan } of cars)
      for (const item of plan) {
        expect(recommendationSchema.parse(JSON.parse(JSON.stringify(item)))).toBeTruthy();
        const { statements, step } = recommendationWords(item, (tapId) => tapId);
        const said = [
          ...statements.map(({ sentence }) => sentence),
          ...(step === null ? [] : [step.setTo, step.check]),
        ];
        const text = [...said.map(plainText), ...item.reasons.map(reasonText)].join(' ');
        expect(text, name).not.toMatch(/NaN|undefined|Infinity|\[object/);
      }
  });

  it('have every small driver whose output is summed protected, at no less than the radio’s corner', () => {
    let summed = 0;
    for (const { name, plan } of cars) {
      const protectedIds = recommendationsOf(plan, 'protection').flatMap(({ tapIds }) => tapIds);
      for (const { output, taps } of recommendationsOf(plan, 'feed')) {
        const dash = taps.map(({ tapId }) => tapId).filter((tapId) => tapId.startsWith('dash'));
        if (output === 'subwoofer' || dash.length === taps.length) continue;
        for (const tapId of dash) expect(protectedIds, name).toContain(tapId);
        summed += dash.length;
      }
      for (const { highPass, radioHighPass } of recommendationsOf(plan, 'protection'))
        expect(highPass.notBelowHz, name).toBeGreaterThanOrEqual(Math.round(radioHighPass.cornerHz));
    }
    expect(summed).toBeGreaterThan(0);
  });

  it('restore 12 dB at most, and in full up to the setting that they say it holds to', () => {
    let held = 0;
    for (const { name, plan } of cars)
      for (const item of recommendationsOf(plan, 'restoration')) {
        expect(item.amountDb, name).toBeLessThanOrEqual(12);
        expect(item.shelf?.gainDb ?? 0, name).toBeLessThanOrEqual(12.5);
        const holds = item.holdsUpToSetting ?? Number.NEGATIVE_INFINITY;
        for (const { residualDb } of item.settings.filter(({ setting }) => setting <= holds)) {
          held++;
          for (const [i, db] of residualDb.entries())
            if (item.frequencyHz[i] >= 40) expect(db, name).toBeGreaterThan(-0.6);
        }
      }
    expect(held).toBeGreaterThan(0);
  });
});
