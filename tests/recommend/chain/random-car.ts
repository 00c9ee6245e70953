import {
  evaluateOnGrid,
  lowShelfSections,
  type PrototypeFilter,
  prototypeSections,
} from '../../../src/dsp/filter-prototype.ts';
import { type Random, seededRandom } from '../../../src/dsp/random.ts';
import { type Equipment, type EquipmentInput, equipmentSchema } from '../../../src/model/equipment.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { gridFrequencyHz, gridPosition } from '../../../src/model/frequency-grid.ts';
import { measured } from '../../../src/model/measured.ts';
import { makePlan, type Plan } from '../../../src/recommend/plan.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio, type SyntheticTap } from '../synthetic.ts';

export interface RandomRadio {
  readonly radio: SyntheticRadio;
  readonly heldVolts: number | null;
  readonly supplyVolts: number;
  readonly level: 'speaker' | 'line' | undefined;
}

export interface Car {
  readonly radio: RandomRadio;
  readonly equipment: EquipmentInput;
  readonly parts: Equipment;
  readonly input: ReturnType<typeof planInput>;
  readonly plan: Plan;
  /** Which one, for the message. */
  readonly car: string;
}

/** Each radio with several sets of parts: what was measured of it is made once. */
export function drawCars({ radios, partsEach }: { radios: number; partsEach: number }): Car[] {
  const random = seededRandom(4711);
  return Array.from({ length: radios }, (_, r) => {
    const radio = randomRadio(random);
    const bare = planInput(radio.radio);
    const session = {
      ...bare.session,
      supply: { volts: radio.supplyVolts, engineRunning: radio.supplyVolts > 13 },
      taps: bare.session.taps.map((tap) => ({
        ...tap,
        ...(radio.level === undefined ? {} : { level: radio.level }),
      })),
    };
    return Array.from({ length: partsEach }, (_, p): Car => {
      const equipment = randomParts(random);
      const parts = equipmentSchema.parse(equipment);
      const input = { ...bare, equipment: parts, session: { ...session, equipment: parts } };
      return { radio, equipment, parts, input, plan: makePlan(input), car: `radio ${r}, parts ${p}` };
    });
  }).flat();
}

function oneOf<Item>(random: Random, items: readonly Item[]): Item {
  return items[Math.floor(random.uniform() * items.length)];
}

type Response = NonNullable<SyntheticTap['response']>;

/** Worked out on the grid once: a car has a thousand points and more. */
function onGrid(sections: Parameters<typeof evaluateOnGrid>[0], cornerHz: number) {
  const { real, imag } = evaluateOnGrid(sections, {
    frequencyHz: gridFrequencyHz,
    cornerHz,
    sampleRateHz: null,
  });
  return (frequencyHz: number) => {
    const i = Math.round(gridPosition(frequencyHz));
    return { real: real[i], imag: imag[i] };
  };
}

function through(filter: PrototypeFilter, cornerHz: number, before: Response): Response {
  const at = onGrid(prototypeSections(filter), cornerHz);
  return (frequencyHz, setting) => {
    const [a, b] = [before(frequencyHz, setting), at(frequencyHz)];
    return { real: a.real * b.real - a.imag * b.imag, imag: a.real * b.imag + a.imag * b.real };
  };
}

function randomRadio(random: Random): RandomRadio {
  const settings = [10, 16, 28];
  const level = oneOf(random, ['speaker', 'line', undefined, undefined] as const);
  const rms = level === 'line' ? random.between([0.5, 4]) : random.between([0.5, 9]);
  const is24 = random.uniform() < 0.1;
  const railVoltsPeak = random.uniform() < 0.15 ? 0.1 : random.between([1.6, is24 ? 4 : 2.2]) * rms;
  const isCut = random.uniform() < 0.4;
  const lossDb = isCut ? random.between([2, 20]) : 0;
  const shelf = onGrid(lowShelfSections({ gainDb: -1 }), 80);
  const bass: Response = (frequencyHz, setting) => {
    const { real, imag } = shelf(frequencyHz);
    return { real: Math.hypot(real, imag) ** (lossDb * Math.max(0, (setting - 16) / 18)), imag: 0 };
  };
  const cutHz = random.uniform() < 0.2 ? random.between([60, 200]) : null;
  const whole =
    cutHz === null ? bass : through({ family: 'butterworth', order: 2, side: 'high-pass' }, cutHz, bass);
  const { taps, findings } = randomTaps(random, whole);
  const isLimited = random.uniform() < 0.25;
  const heldVolts = isLimited ? rms * random.between([0.1, 0.6]) : null;
  const notJudged = random.uniform() < 0.15;
  const radio: SyntheticRadio = {
    taps,
    settings,
    volts: { at: 28, rms },
    railVoltsPeak,
    findings: [...findings, ...(heldVolts === null ? [] : [limiterAt(heldVolts, { taps, settings, rms })])],
    bassChange: notJudged
      ? { verdict: 'cannot be told', plateauSettings: [] }
      : lossDb === 0
        ? {}
        : { verdict: 'falls with volume', plateauSettings: [10, 16] },
  };
  return { radio, heldVolts, level, supplyVolts: is24 ? 27.6 : oneOf(random, [10.8, 12.4, 14.1]) };
}

/** Full range or split, with rears, a centre and a subwoofer output or without; some inverted, some late. */
function randomTaps(random: Random, whole: Response): { taps: SyntheticTap[]; findings: Finding[] } {
  const isSplit = random.uniform() < 0.3;
  const splitHz = oneOf(random, [200, 700, 3000]);
  const order = oneOf(random, [2, 4] as const);
  const way = (side: PrototypeFilter['side']) =>
    through({ family: order === 2 ? 'butterworth' : 'linkwitz-riley', order, side }, splitHz, whole);
  const edge = {
    minus3Hz: measured({ value: splitHz, plusMinus: 1 }),
    minus6Hz: measured({ value: splitHz, plusMinus: 1 }),
    slopeDbPerOctave: 6 * order,
    filter: {
      family: order === 2 ? ('butterworth' as const) : ('linkwitz-riley' as const),
      order,
      cornerHz: measured({ value: splitHz, plusMinus: 1 }),
    },
  };
  const front = isSplit
    ? [
        ...pair('door', { response: way('low-pass'), band: { highEdge: edge } }),
        ...pair('dash', { response: way('high-pass'), band: { lowEdge: edge } }),
      ]
    : pair('front', { band: FULL_RANGE, response: whole });
  const more: SyntheticTap[] = [
    ...(random.uniform() < 0.5 ? pair('rear', { band: FULL_RANGE, response: whole }) : []),
    ...(random.uniform() < 0.15
      ? [{ id: 'centre', side: 'both' as const, position: 'centre' as const, response: whole }]
      : []),
    ...(random.uniform() < 0.2
      ? [
          {
            id: 'subwoofer',
            side: 'both' as const,
            position: 'subwoofer' as const,
            response: through({ family: 'linkwitz-riley', order: 4, side: 'low-pass' }, 100, whole),
          },
        ]
      : []),
  ];
  const all = [...front, ...more];
  const turned = random.uniform() < 0.3 ? oneOf(random, all).id : null;
  const late = random.uniform() < 0.2 ? oneOf(random, all).id : null;
  const delaySeconds = oneOf(random, [2e-4, 9e-4, 5e-3]);
  const taps = all.map((tap) => ({
    ...tap,
    inverted: tap.id === turned,
    delaySeconds: tap.id === late ? delaySeconds : 0,
  }));
  const [reference, ...others] = taps;
  const sign = (tap: SyntheticTap) => (tap.inverted === reference.inverted ? 'same' : 'inverted');
  const seconds = (tap: SyntheticTap) => (tap.delaySeconds ?? 0) - (reference.delaySeconds ?? 0);
  return {
    taps,
    findings: others.map((tap) => ({
      id: `timing-${tap.id}`,
      kind: 'timing',
      tapIds: [tap.id, reference.id],
      evidence: [],
      tapId: tap.id,
      referenceTapId: reference.id,
      delaySeconds: measured({ value: seconds(tap), plusMinus: 1e-6 }),
      polarity: sign(tap),
      reason: null,
    })),
  };
}

function limiterAt(
  heldVolts: number,
  { taps, settings, rms }: { taps: SyntheticRadio['taps']; settings: readonly number[]; rms: number },
): Finding {
  return {
    id: 'limiter',
    kind: 'bass-limiter',
    tapIds: taps.map(({ id }) => id),
    evidence: [],
    place: 'after the volume control',
    perSetting: settings.map((setting) => ({
      setting,
      thresholdDriveDbFs: {
        value: 20 * Math.log10(heldVolts / (rms * 10 ** ((setting - 28) / 20))),
        plusMinus: 0.2,
      },
      levelVoltsRms: { value: heldVolts, plusMinus: 0.01 },
    })),
  };
}

function randomParts(random: Random): EquipmentInput {
  const watts = () => Math.round(random.between([20, 1000]));
  const ohms = () => oneOf(random, [1, 2, 4, 8]);
  const range = (): [number, number] => [random.between([0.1, 0.5]), random.between([1, 8])];
  const maybe = <Value>(value: Value) => (random.uniform() < 0.5 ? value : undefined);
  const isOneAmplifier = random.uniform() < 0.15;
  const outputs = oneOf(random, [['front', 'rear'], ['front'], ['front', 'rear', 'centre']] as const);
  const speakerInputs = random.uniform() < 0.3 ? { speakerInputLimitVoltsRms: random.between([3, 20]) } : {};
  const mono = {
    name: 'mono',
    feeds: ['subwoofer' as const],
    ratedWatts: watts(),
    ratedOhms: oneOf(random, [1, 2, 4]),
    lowestOhms: maybe(oneOf(random, [1, 2])),
    sensitivityRangeVoltsRms: range(),
    gainOverlapDb: oneOf(random, [0, 5, 10]),
    lowPass: { rangeHz: [40, 160] as [number, number], slopeDbPerOctave: oneOf(random, [12, 24]) },
    ...speakerInputs,
  };
  return {
    converter:
      random.uniform() < 0.5
        ? null
        : {
            inputs: 8,
            inputLimitVoltsRms: random.between([2, 20]),
            summing: 'any',
            gainRangeDb: [-random.between([10, 40]), random.between([0, 15])],
            outputLimitVoltsRms: random.between([2, 9]),
            maximumDelaySeconds: oneOf(random, [0, 1e-3, 1e-2]),
            restoration:
              random.uniform() < 0.5 ? null : { kind: 'dynamic', maximumDb: oneOf(random, [6, 12]) },
          },
    amplifiers: [
      {
        name: 'mains',
        feeds: [...outputs, ...(isOneAmplifier ? (['subwoofer'] as const) : [])],
        channels: 5,
        ratedWatts: watts(),
        ratedOhms: oneOf(random, [2, 4]),
        lowestOhms: maybe(2),
        sensitivityRangeVoltsRms: range(),
        gainOverlapDb: oneOf(random, [0, 5, 10]),
        highPass: { rangeHz: [50, 250], slopeDbPerOctave: oneOf(random, [12, 24]) },
        ...speakerInputs,
      },
      ...(isOneAmplifier || random.uniform() < 0.1 ? [] : [mono]),
    ],
    speakers: [
      {
        feeds: 'front',
        ohms: ohms(),
        ratedWatts: maybe(watts()),
        factory: random.uniform() < 0.5,
        wiring: oneOf(random, ['parallel', 'separate', 'passive crossover', 'unknown']),
        tweeter:
          random.uniform() < 0.3 ? { crossover: oneOf(random, ['none', 'capacitor', 'unknown']) } : null,
      },
      { feeds: 'rear', ohms: ohms(), ratedWatts: maybe(watts()) },
    ],
    woofer: {
      count: oneOf(random, [1, 2, 4]),
      ohms: ohms(),
      ratedWatts: maybe(watts()),
      areaCm2: 480,
      peakTravelMm: 12,
      ...(random.uniform() < 0.3
        ? { box: oneOf(random, ['ported', undefined] as const), tuningHz: maybe(34) }
        : { resonanceHz: 30, qts: 0.5, vasLitres: 40, boxLitres: 30 }),
    },
    supplyWire: {
      lengthMetres: 5,
      mm2: oneOf(random, [10, 25, 50]),
      fuseAmps: maybe(oneOf(random, [60, 100, 200])),
    },
    seatDistances:
      random.uniform() < 0.2
        ? [
            { feeds: 'front', metres: 1 },
            { feeds: 'rear', metres: 1.2 },
            { feeds: 'centre', metres: 0.9 },
            { feeds: 'subwoofer', metres: 2 },
          ]
        : [],
  };
}
