import { describe, expect, it } from 'vitest';
import { chainSchema } from '../../../src/model/chain.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { recommendationSchema, recommendationsOf } from '../../../src/model/recommendation.ts';
import { stickFiles } from '../../../src/tones/stick-files.ts';
import { voltsAt } from '../synthetic.ts';
import { drawCars } from './random-car.ts';
import { loadOf, toneKey, voltsOf } from './read-plan.ts';

/**
 * Each radio is planned with this many sets of parts. A rule that one car in 200 breaks is met with 95 % (0.05 = (1 - p)^600); what
 * radios differ in, forty cover as before.
 */
const RADIOS = 40;
const PARTS_EACH = 15;

// What must hold for every car, whatever is drawn: V = sqrt(P R), I = P / (efficiency U), and no sheet denies another.
describe(`${RADIOS * PARTS_EACH} random cars`, () => {
  const cars = drawCars({ radios: RADIOS, partsEach: PARTS_EACH });

  it('are solved into a chain and a list that keep to their schemas, without a number that is none.', () => {
    for (const { plan } of cars.filter((_, i) => i % 10 === 0)) {
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
    expect(knobs).toBeGreaterThan(1000);
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
    expect(rated).toBeGreaterThan(250);
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
      const notJudged = input.findings.some(
        (finding) => finding.kind === 'bass-change' && finding.verdict === 'cannot be told',
      );
      if (notJudged) expect(outputs.has('subwoofer'), car).toBe(false);
    }
    expect(without).toBeGreaterThan(25);
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
    expect(limited).toBeGreaterThan(25);
  });

  it('connect each pair of wires one way round, and cross no more pairs than have to be.', () => {
    let crossed = 0;
    for (const { plan, car } of cars) {
      const seen = new Map<string, string>();
      for (const { sides } of plan.chain.feeds)
        for (const { tapId, polarity } of sides.flatMap(({ taps }) => taps)) {
          expect(seen.get(tapId) ?? polarity, `${car}, ${tapId}`).toBe(polarity);
          seen.set(tapId, polarity);
        }
      const inverted = [...seen.values()].filter((polarity) => polarity === 'inverted').length;
      expect(inverted, car).toBeLessThanOrEqual(seen.size / 2);
      crossed += inverted;
    }
    expect(crossed).toBeGreaterThan(50);
  });

  it('name no tone that is not on the stick, and read with each what the steps say.', () => {
    const onStick = new Set(
      stickFiles(48_000).flatMap((file) => ('tone' in file ? [toneKey(file.tone)] : [])),
    );
    let treble = 0;
    for (const { plan, car } of cars) {
      for (const item of recommendationsOf(plan.recommendations, 'protection')) {
        const { lowHz, highHz, driveDbFs } = item.proof!;
        for (const toneHz of [lowHz, highHz, item.highPass.gainToneHz])
          expect(onStick.has(toneKey({ toneHz, driveDbFs })), car).toBe(true);
        expect(highHz, car).toBeGreaterThan(lowHz);
        treble++;
      }
      for (const gain of recommendationsOf(plan.recommendations, 'amplifier-gain')) {
        const setBy = gain.targets.find((target) => target.setBy)!;
        expect(onStick.has(toneKey(setBy)), car).toBe(true);
        const feed = plan.chain.feeds.find(({ output }) => output === gain.output)!;
        const { reading } = feed.nodes.find(({ kind }) => kind === 'amplifier output')!.knob!;
        expect(reading, car).toMatchObject({ toneHz: setBy.toneHz, driveDbFs: setBy.driveDbFs });
        if (isNotMeasurable(reading.voltsRms) || isNotMeasurable(setBy.voltsRms)) continue;
        expect(reading.voltsRms.value / setBy.voltsRms.value, car).toBeCloseTo(1, 6);
      }
    }
    expect(treble).toBeGreaterThan(50);
  });

  it('rate inputs for the worst that the outputs give: the rail at the highest supply, clipped or not.', () => {
    for (const { plan, parts, radio, car } of cars) {
      const [order] = recommendationsOf(plan.recommendations, 'order');
      if (order === undefined || isNotMeasurable(order.inputRatingVoltsRms)) continue;
      const rating = order.inputRatingVoltsRms.value;
      for (const { inUse, mostVoltsPeak, voltsRms } of plan.chain.taps) {
        if (!inUse) continue;
        if (mostVoltsPeak !== null) expect(rating, car).toBeGreaterThanOrEqual(mostVoltsPeak / 1.4143);
        if (!isNotMeasurable(voltsRms)) expect(rating, car).toBeGreaterThanOrEqual(voltsRms.value * 0.999);
      }
      // A converter that is kept stands it, by itself or behind a pad.
      const [pad] = recommendationsOf(plan.recommendations, 'pad');
      if (parts.converter !== null && order.nothingToOrder && pad === undefined && order.given !== null)
        expect(parts.converter.inputLimitVoltsRms, car).toBeGreaterThanOrEqual(rating * 0.999);
      if (pad !== undefined)
        expect(pad.outputVoltsRms, car).toBeLessThanOrEqual(parts.converter!.inputLimitVoltsRms);
      expect(radio.supplyVolts, car).toBe(plan.chain.volume.supplyVolts);
    }
  });

  it('order the delay that the plan asks for, and no other.', () => {
    let ordered = 0;
    for (const { plan, car } of cars) {
      const [delay] = recommendationsOf(plan.recommendations, 'delay');
      const [order] = recommendationsOf(plan.recommendations, 'order');
      if (delay === undefined || order === undefined) continue;
      if (delay.by === 'to order') {
        expect(order, car).toMatchObject({ delay: true, nothingToOrder: false });
        ordered++;
      }
      if (delay.by === 'nothing')
        expect(order.given!.shortfalls.map(codeOf), car).toEqual(
          expect.arrayContaining([expect.stringMatching(/cannot delay|delays too little/)]),
        );
    }
    expect(ordered).toBeGreaterThan(10);
  });

  it('tell what a woofer reaches only where a feed plays it, and as felt only where its box is counted.', () => {
    for (const { plan, parts, car } of cars) {
      const [reach] = recommendationsOf(plan.recommendations, 'bass-reach');
      if (reach === undefined) continue;
      expect(
        plan.chain.feeds.map(({ output }) => output),
        car,
      ).toContain('subwoofer');
      const isWhole = parts.woofer?.box !== 'ported' && parts.woofer?.boxLitres !== undefined;
      expect(reach.counted === 'travel, power and box', car).toBe(
        isWhole && parts.amplifiers.some(({ feeds }) => feeds.includes('subwoofer')),
      );
      if (parts.woofer?.box === 'ported' && parts.woofer.tuningHz !== undefined)
        expect(reach.lowestHzAtTarget, car).toBeGreaterThanOrEqual(parts.woofer.tuningHz);
      if (reach.reasons.some((one) => codeOf(one) === 'bass is felt')) expect(isWhole, car).toBe(true);
    }
  });

  it('keep the volume to one setting on every sheet, the engine off no higher.', () => {
    for (const { plan, car } of cars) {
      const { setting, cleanSetting, engineOff } = plan.chain.volume;
      const [clean] = recommendationsOf(plan.recommendations, 'highest-clean-setting');
      if (clean === undefined || setting === null) continue;
      expect(clean.gainsAt ?? clean.recorded, car).toBe(setting);
      for (const feed of plan.chain.feeds) if (feed.setting !== null) expect(feed.setting, car).toBe(setting);
      if (engineOff === null || engineOff.setting === null) continue;
      expect(engineOff.setting, car).toBeLessThanOrEqual(cleanSetting!);
      // 14.1 to 12.6 V are 1 dB, 27.6 to 25.2 V are 0.8: one or two steps of 1 dB.
      expect(engineOff.setting, car).toBeGreaterThanOrEqual(cleanSetting! - 2);
    }
  });

  it('load no amplifier with a tweeter in parallel that it does not stand, and leave none bare on a channel with bass.', () => {
    for (const { plan, parts, car } of cars) {
      const speaker = parts.speakers.find(({ feeds }) => feeds === 'front')!;
      const front = plan.chain.feeds.find(({ output }) => output === 'front');
      const amplifier = parts.amplifiers.find(({ feeds }) => feeds.includes('front'))!;
      if (front === undefined || speaker.tweeter === null) continue;
      const ohms =
        speaker.wiring === 'parallel' ? 1 / (1 / speaker.ohms + 1 / speaker.tweeter.ohms) : speaker.ohms;
      if (amplifier.lowestOhms !== undefined && ohms < amplifier.lowestOhms)
        expect(front.noGains.map(codeOf), car).toContain('load below the lowest');
      const isBare = speaker.wiring !== 'passive crossover' && speaker.tweeter.crossover !== 'capacitor';
      if (isBare)
        expect(
          recommendationsOf(plan.recommendations, 'protection').map(({ output }) => output),
          car,
        ).toContain('front');
    }
  });
});
