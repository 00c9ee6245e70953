import { describe, expect, it } from 'vitest';
import { evaluateSections, lowShelfSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { type Random, seededRandom } from '../../../src/dsp/random.ts';
import { chainSchema } from '../../../src/model/chain.ts';
import { type EquipmentInput, equipmentSchema } from '../../../src/model/equipment.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { recommendationSchema, recommendationsOf } from '../../../src/model/recommendation.ts';
import { makePlan, type Plan } from '../../../src/recommend/plan.ts';
import { FULL_RANGE, pair, planInput, type SyntheticRadio, voltsAt } from '../synthetic.ts';

/** Each radio is planned with this many sets of parts. */
const RADIOS = 50;
const PARTS_EACH = 40;

// What must hold for every car, whatever is drawn: V = sqrt(P R), I = P / (efficiency U), and no sheet denies another.
describe(`${RADIOS * PARTS_EACH} random cars`, () => {
  const cars = draw();

  it('are solved into a chain and a list that keep to their schemas, without a number that is none.', () => {
    for (const { plan } of cars.slice(0, 200)) {
      const written = JSON.parse(JSON.stringify(plan));
      expect(chainSchema.safeParse(written.chain).error).toBeUndefined();
      expect(recommendationSchema.array().safeParse(written.recommendations).error).toBeUndefined();
    }
  });

  it('ask for no reading that cannot be set: every knob stands inside its range, no stage is past its limit.', () => {
    let knobs = 0;
    for (const { plan, car } of cars) {
      for (const feed of plan.chain.feeds) {
        for (const { knob } of feed.nodes) {
          if (knob === null || knob.range === null) continue;
          expect(knob.setTo, car).toBeGreaterThanOrEqual(knob.range[0] - 1e-6);
          expect(knob.setTo, car).toBeLessThanOrEqual(knob.range[1] + 1e-6);
          knobs++;
        }
        const line = feed.nodes.find(({ kind }) => kind === 'converter output');
        if (line !== undefined && line.limitVoltsRms !== null && !isNotMeasurable(line.voltsRms))
          expect(line.voltsRms.value, car).toBeLessThanOrEqual(line.limitVoltsRms * 1.001);
      }
    }
    expect(knobs).toBeGreaterThan(2000);
  });

  it('give no load more than it is rated for, all counted, and no amplifier less than its lowest load.', () => {
    let rated = 0;
    for (const { plan, equipment, car } of cars) {
      for (const feed of plan.chain.feeds) {
        const amplifier = equipment.amplifiers?.find(({ feeds }) => feeds.includes(feed.output));
        const load = loadOf(equipment, feed.output);
        if (feed.wattsAtLoad === null || amplifier === undefined || load === null) continue;
        expect(load.ohms, car).toBeGreaterThanOrEqual(amplifier.lowestOhms ?? 0);
        if (load.watts === null) {
          expect(feed.conditions.map(codeOf), car).toContain('rating not noted');
          continue;
        }
        rated++;
        expect(feed.wattsAtLoad, car).toBeLessThanOrEqual(load.watts * 1.001);
        for (const gain of recommendationsOf(plan.recommendations, 'amplifier-gain')) {
          const setBy = gain.targets.find((target) => target.setBy)!;
          if (gain.output === feed.output && setBy.watts !== null)
            expect(setBy.watts, car).toBeLessThanOrEqual(load.watts * 1.01);
        }
      }
    }
    expect(rated).toBeGreaterThan(500);
  });

  it('supply and fuse stand what the amplifiers can draw, never less than the sheet dials in.', () => {
    for (const { plan, equipment, car } of cars) {
      const { supply } = plan.chain;
      if (supply === null) continue;
      const dialled = plan.chain.feeds.reduce(
        (watts, { output, wattsAtLoad }) =>
          watts + (wattsAtLoad ?? 0) * (output === 'front' || output === 'rear' ? 2 : 1),
        0,
      );
      const most = supply.amplifiers.reduce((watts, { mostWatts }) => watts + mostWatts, 0);
      const channels = equipment.amplifiers!.every(
        ({ feeds, channels = 1 }) => channels >= 2 * feeds.length - 1,
      );
      if (channels) expect(most, car).toBeGreaterThanOrEqual(dialled * 0.999);
      expect(supply.fullCurrentAmps, car).toBeCloseTo(most / 0.75 / supply.supplyVolts, 6);
      expect(supply.fuseAtLeastAmps, car).toBeGreaterThanOrEqual(supply.fullCurrentAmps);
      if (supply.fuseAmps !== null) {
        expect(supply.fuseAmps, car).toBeGreaterThanOrEqual(supply.fuseAtLeastAmps);
        expect(supply.fuseAmps, car).toBeLessThanOrEqual(supply.fuseAtMostAmps!);
      }
      const [sheet] = recommendationsOf(plan.recommendations, 'supply');
      expect(sheet.figures, car).toEqual(supply);
    }
  });

  it('get no gain without a clean setting, and none for a subwoofer whose bass nobody could judge.', () => {
    let without = 0;
    for (const { plan, input, car } of cars) {
      const gains = plan.recommendations.filter(
        ({ kind }) => kind === 'converter-level' || kind === 'amplifier-gain' || kind === 'gain-structure',
      ) as { output: string }[];
      const outputs = new Set(gains.map(({ output }) => output));
      for (const feed of plan.chain.feeds) {
        if (feed.noGains.length === 0) continue;
        expect(outputs.has(feed.output), car).toBe(false);
        expect(feed.nodes, car).toEqual([]);
        expect(feed.wattsAtLoad, car).toBeNull();
      }
      if (plan.chain.volume.setting === null) {
        without++;
        expect(gains, car).toEqual([]);
        expect(plan.chain.verdict, car).toBe('not like this');
      }
      const untold = input.findings.some(
        (finding) => finding.kind === 'bass-change' && finding.verdict === 'cannot be told',
      );
      if (untold) expect(outputs.has('subwoofer'), car).toBe(false);
    }
    expect(without).toBeGreaterThan(50);
  });

  it('print the same volts on every sheet: steps, picture and chain read one value.', () => {
    for (const { plan, car } of cars) {
      for (const level of recommendationsOf(plan.recommendations, 'converter-level'))
        expect(level.outputVoltsRms, car).toBeCloseTo(voltsOf(plan, level.output, 'converter output')!, 9);
      for (const gain of recommendationsOf(plan.recommendations, 'amplifier-gain')) {
        const feed = plan.chain.feeds.find(({ output }) => output === gain.output)!;
        expect(gain.wattsAtLoad, car).toBeCloseTo(feed.wattsAtLoad!, 6);
        expect(gain.fullOutputVoltsRms, car).toBeCloseTo(voltsOf(plan, gain.output, 'load')!, 9);
      }
    }
  });

  it('set no knob by a tone that a limiter holds.', () => {
    let limited = 0;
    for (const { plan, radio, car } of cars) {
      if (radio.heldVolts === null) continue;
      for (const gain of recommendationsOf(plan.recommendations, 'amplifier-gain')) {
        const setBy = gain.targets.find((target) => target.setBy)!;
        if (setBy.toneHz > 150 || isNotMeasurable(setBy.voltsRms)) continue;
        limited++;
        const { real, imag } = radio.radio.taps[0].response!(setBy.toneHz, setBy.setting);
        const volts = voltsAt(radio.radio, setBy.setting) * Math.hypot(real, imag);
        expect(volts * 10 ** (setBy.driveDbFs / 20), car).toBeLessThanOrEqual(radio.heldVolts);
      }
    }
    expect(limited).toBeGreaterThan(50);
  });
});

interface RandomRadio {
  readonly radio: SyntheticRadio;
  readonly heldVolts: number | null;
}

interface Car {
  readonly radio: RandomRadio;
  readonly equipment: EquipmentInput;
  readonly input: ReturnType<typeof planInput>;
  readonly plan: Plan;
  /** Which one, for the message. */
  readonly car: string;
}

function draw(): Car[] {
  const random = seededRandom(4711);
  return Array.from({ length: RADIOS }, (_, r) => {
    const radio = randomRadio(random);
    const bare = planInput(radio.radio);
    return Array.from({ length: PARTS_EACH }, (_, p): Car => {
      const equipment = randomParts(random);
      const parts = equipmentSchema.parse(equipment);
      const input = { ...bare, equipment: parts, session: { ...bare.session, equipment: parts } };
      return { radio, equipment, input, plan: makePlan(input), car: `radio ${r}, parts ${p}` };
    });
  }).flat();
}

function oneOf<Item>(random: Random, items: readonly Item[]): Item {
  return items[Math.floor(random.uniform() * items.length)];
}

function randomRadio(random: Random): RandomRadio {
  const settings = [10, 16, 28];
  const rms = random.between([0.5, 9]);
  const railVoltsPeak = random.uniform() < 0.15 ? 0.1 : random.between([6, 14]);
  const lossDb = random.uniform() < 0.4 ? random.between([2, 20]) : 0;
  const shelf = lowShelfSections({ gainDb: -1 });
  const cut = prototypeSections({ family: 'butterworth', order: 2, side: 'high-pass' });
  const cutHz = random.uniform() < 0.2 ? random.between([60, 200]) : null;
  const response = (frequencyHz: number, setting: number) => {
    const depth = lossDb * Math.max(0, (setting - 16) / 18);
    const bass = evaluateSections(shelf, { frequencyHz, cornerHz: 80, sampleRateHz: null });
    const scale = Math.hypot(bass.real, bass.imag) ** depth;
    if (cutHz === null) return { real: scale, imag: 0 };
    const high = evaluateSections(cut, { frequencyHz, cornerHz: cutHz, sampleRateHz: null });
    return { real: scale * high.real, imag: scale * high.imag };
  };
  const places = random.uniform() < 0.5 ? (['front'] as const) : (['front', 'rear'] as const);
  const taps = places.flatMap((place) => pair(place, { band: FULL_RANGE, response }));
  const isLimited = random.uniform() < 0.25;
  const heldVolts = isLimited ? rms * random.between([0.1, 0.6]) : null;
  const untold = random.uniform() < 0.15;
  const radio: SyntheticRadio = {
    taps,
    settings,
    volts: { at: 28, rms },
    railVoltsPeak,
    findings: heldVolts === null ? [] : [limiterAt(heldVolts, { taps, settings, rms })],
    bassChange: untold
      ? { verdict: 'cannot be told', plateauSettings: [] }
      : lossDb === 0
        ? {}
        : { verdict: 'falls with volume', plateauSettings: [10, 16] },
  };
  return { radio, heldVolts };
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
  return {
    converter:
      random.uniform() < 0.5
        ? null
        : {
            inputs: 8,
            inputLimitVoltsRms: random.between([5, 20]),
            summing: 'any',
            gainRangeDb: [-random.between([10, 40]), random.between([0, 15])],
            outputLimitVoltsRms: random.between([2, 9]),
            restoration: random.uniform() < 0.5 ? null : { kind: 'dynamic', maximumDb: 12 },
          },
    amplifiers: [
      {
        name: 'mains',
        feeds: ['front', 'rear'],
        channels: 4,
        ratedWatts: watts(),
        ratedOhms: oneOf(random, [2, 4]),
        lowestOhms: maybe(2),
        sensitivityRangeVoltsRms: range(),
        gainOverlapDb: oneOf(random, [0, 5, 10]),
        highPass: { rangeHz: [50, 250], slopeDbPerOctave: oneOf(random, [12, 24]) },
      },
      {
        name: 'mono',
        feeds: ['subwoofer'],
        ratedWatts: watts(),
        ratedOhms: oneOf(random, [1, 2, 4]),
        lowestOhms: maybe(oneOf(random, [1, 2])),
        sensitivityRangeVoltsRms: range(),
        gainOverlapDb: oneOf(random, [0, 5, 10]),
        lowPass: { rangeHz: [40, 160], slopeDbPerOctave: oneOf(random, [12, 24]) },
      },
    ],
    speakers: [
      { feeds: 'front', ohms: ohms(), ratedWatts: maybe(watts()), factory: random.uniform() < 0.5 },
      { feeds: 'rear', ohms: ohms(), ratedWatts: maybe(watts()) },
    ],
    woofer: {
      count: oneOf(random, [1, 2, 4]),
      ohms: ohms(),
      ratedWatts: maybe(watts()),
      areaCm2: 480,
      peakTravelMm: 12,
      resonanceHz: 30,
      qts: 0.5,
      vasLitres: 40,
      boxLitres: 30,
    },
    supplyWire: {
      lengthMetres: 5,
      mm2: oneOf(random, [10, 25, 50]),
      fuseAmps: maybe(oneOf(random, [60, 100, 200])),
    },
  };
}

function loadOf(
  { woofer, speakers }: EquipmentInput,
  output: string,
): { ohms: number; watts: number | null } | null {
  if (output === 'subwoofer')
    return woofer == null
      ? null
      : {
          ohms: woofer.ohms ?? 4,
          watts: woofer.ratedWatts === undefined ? null : woofer.ratedWatts * (woofer.count ?? 1),
        };
  const speaker = speakers?.find(({ feeds }) => feeds === output);
  return speaker === undefined ? null : { ohms: speaker.ohms ?? 4, watts: speaker.ratedWatts ?? null };
}

function voltsOf(plan: Plan, output: string, kind: string): number | null {
  const node = plan.chain.feeds
    .find((feed) => feed.output === output)
    ?.nodes.find((one) => one.kind === kind);
  return node === undefined || isNotMeasurable(node.voltsRms) ? null : node.voltsRms.value;
}
