import { measured } from '../../src/model/measured.ts';
import { asWritten } from '../../src/model/reason.ts';
import type { Recommendation } from '../../src/model/recommendation.ts';
import { exampleResults } from './example-results.ts';

const base = (id: string) => ({ id, order: 50, restsOn: [], reasons: [] });
const example = exampleResults().recommendations;
const feed = example.find((item) => item.kind === 'feed') as Extract<Recommendation, { kind: 'feed' }>;
const restore = example.find((item) => item.kind === 'restoration') as Extract<
  Recommendation,
  { kind: 'restoration' }
>;
const clean = example.find((item) => item.kind === 'highest-clean-setting') as Extract<
  Recommendation,
  { kind: 'highest-clean-setting' }
>;
const order = example.find((item) => item.kind === 'order') as Extract<Recommendation, { kind: 'order' }>;

/** At least one recommendation of every kind, and the turns that a kind can take. */
export const recommendationsOfEveryKind: readonly Recommendation[] = [
  ...example,
  {
    ...order,
    id: 'nothing to order',
    nothingToOrder: true,
    given: { name: 'the amplifier', shortfalls: [] },
  },
  {
    ...order,
    id: 'given part falls short',
    given: { name: 'small converter', shortfalls: [asWritten('two inputs instead of six')] },
  },
  { ...feed, id: 'feed alone', summed: false, taps: feed.taps.slice(0, 1) },
  {
    ...feed,
    id: 'feed of unknown timing',
    programmes: null,
    unknownTiming: { bestDipDb: 0, worstDipDb: -60, atHz: 3000, recordNext: asWritten('both in one file') },
  },
  {
    ...feed,
    id: 'feed with delay',
    taps: feed.taps.map((tap) => ({ ...tap, trimDb: -2, delaySeconds: 1e-4 })),
  },
  { ...restore, id: 'no restoration', verdict: 'none needed' },
  { ...restore, id: 'restoration unknown', verdict: 'cannot be told' },
  {
    ...restore,
    id: 'restoration limited',
    limitedBy: '12 dB',
    impossible: [asWritten('what the limiter holds')],
  },
  { ...clean, id: 'clean unknown', recorded: null, basis: asWritten('no take reaches clipping') },
  {
    ...base('pad'),
    kind: 'pad',
    tapIds: ['rear-l'],
    seriesOhms: 1800,
    shuntOhms: 820,
    lossDb: 10,
    outputVoltsRms: 2.7,
    loadOnRadioOhms: 2620,
    seriesWatts: 0.019,
    shuntWatts: 0.009,
    seriesRatingWatts: 0.25,
    shuntRatingWatts: 0.25,
  },
  {
    ...base('high-pass'),
    kind: 'filter',
    output: 'front',
    type: 'high-pass',
    cornerHz: 80,
    slopeDbPerOctave: 12,
    shortfall: asWritten('its slope is 12 dB an octave'),
  },
  {
    ...base('eq'),
    kind: 'equalizer',
    output: 'rear',
    side: 'left',
    bands: [{ frequencyHz: 250, gainDb: 2.5, q: 1.2 }],
    rippleBeforeDb: 3,
    rippleAfterDb: 0.6,
  },
  {
    ...base('law'),
    kind: 'subwoofer-law',
    verdict: 'falls behind',
    perSetting: [{ setting: 34, againstMainsDb: -4 }],
  },
  {
    ...base('reach'),
    kind: 'bass-reach',
    woofer: 'small sealed woofer',
    volumeCm3Peak: 234,
    targetDb: 100,
    lowestHzAtTarget: 40,
    box: { resonanceHz: 62, q: 0.9, minus3Hz: 52, peakDb: 0.4 },
    limits: [{ frequencyHz: 30, travelLimitedDb: 95 }],
    felt: false,
  },
  {
    ...base('seat'),
    kind: 'seat',
    polarity: 'inverted',
    handOverHz: 80,
    levelSubwooferAgainstMainsDb: 2,
    phaseDegrees: measured({ value: 140, plusMinus: 8 }),
    gainFromInvertingDb: 6,
  },
  {
    ...base('turn-on'),
    kind: 'turn-on',
    use: 'switched line',
    quietestSetting: 10,
    quietestVoltsRms: measured({ value: 0.05, plusMinus: 0.001 }),
    thresholdVolts: 0.1,
  },
  {
    ...base('ground'),
    kind: 'grounding',
    noise: 'mains hum',
    tapIds: ['rear-l'],
    advice: [asWritten('take the charger off')],
  },
  {
    ...base('cannot'),
    kind: 'cannot-be-done',
    wanted: asWritten('a flat sum'),
    bindingLimit: asWritten('the converter cannot delay'),
    nearest: asWritten('the doors alone'),
    otherClass: asWritten('a digital processor'),
  },
  {
    ...base('filter left open'),
    kind: 'filter',
    output: 'front',
    type: 'high-pass',
    state: 'open',
    cornerHz: 90,
    slopeDbPerOctave: 12,
    shortfall: null,
    price: { atHz: 80, aloneDb: -4.2, withSecondDb: -5.7, secondHz: 72, secondSlopeDbPerOctave: 24 },
  },
  ...(['as wired', 'inverted', 'either'] as const).map(
    (startWith): Recommendation => ({
      ...base(`low-pass ${startWith}`),
      kind: 'filter',
      output: 'subwoofer',
      type: 'low-pass',
      cornerHz: 80,
      slopeDbPerOctave: 24,
      shortfall: null,
      handOver: {
        atHz: 80,
        asWired: { leastDb: -2, mostDb: 1, atCornerDb: 0 },
        inverted: { leastDb: -3, mostDb: 2, atCornerDb: 0 },
        startWith,
        basis: 'radio and filters',
      },
    }),
  ),
  ...(['converter', 'to order', 'nothing'] as const).map(
    (by): Recommendation => ({
      ...base(`delay by ${by}`),
      kind: 'delay',
      by,
      distancesCounted: by === 'converter',
      feeds: [
        { output: 'front', side: 'left', arrivesSeconds: 0, delaySeconds: 9e-4 },
        { output: 'front', side: 'right', arrivesSeconds: 9e-4, delaySeconds: 0 },
      ],
      firstNullHz: by === 'nothing' ? 556 : null,
    }),
  ),
  ...(['not asked for', 'own output', 'stays with the radio', 'no output of its own'] as const).map(
    (centre): Recommendation => ({
      ...base(`balance, centre ${centre}`),
      kind: 'balance',
      levels: [
        { output: 'front', againstFrontDb: 0 },
        { output: 'rear', againstFrontDb: -6 },
        { output: 'subwoofer', againstFrontDb: null },
      ],
      rearFill:
        centre === 'own output'
          ? null
          : {
              levelDb: -6,
              bandHz: [250, 4000],
              delaySeconds: [0.01, 0.02],
              canDelay: centre !== 'not asked for',
            },
      centre,
    }),
  ),
  ...(['crossover', 'capacitor', 'own channel', 'ask'] as const).map(
    (answer): Recommendation => ({
      ...base(`protection by ${answer}`),
      kind: 'protection',
      output: 'front',
      tapIds: ['dash-l'],
      radioHighPass: { cornerHz: 3500, slopeDbPerOctave: answer === 'ask' ? null : 24 },
      answer,
      highPass: { notBelowHz: 3500, leastSlopeDbPerOctave: 12, slopeDbPerOctave: 24, gainToneHz: 3500 },
      capacitor: { ohms: 4, microfarads: 11.4 },
      parallelOhms: answer === 'capacitor' ? 2 : null,
      factorySpeakerLosesFeed: answer !== 'own channel',
    }),
  ),
  ...(['nothing', 'feed from others', 'louder', 'settle first'] as const).map(
    (action): Recommendation => ({
      ...base(`radio sounds: ${action}`),
      kind: 'radio-sounds',
      sound: action === 'settle first' ? 'engine sound' : 'announcements',
      tapIds: ['rear-l'],
      inUse: action === 'nothing' ? [] : ['rear-l'],
      action,
      instead: action === 'feed from others' ? [{ tapId: 'rear-l', byTapId: 'door-l' }] : [],
    }),
  ),
  {
    ...base('next'),
    kind: 'record-next',
    what: asWritten('the dash pair'),
    tapIds: ['dash-l'],
    settings: [24, 28],
    blocks: true,
  },
];
