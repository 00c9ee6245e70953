import type { Chain, ChainFeed } from '../../src/model/chain.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable, measured } from '../../src/model/measured.ts';
import { asWritten } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import type { Results } from '../../src/model/results.ts';

/** A chain to draw, put together from the plan of an example. It is there to look at, not to prove any solving. */
export function exampleChain(results: Results): Chain {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  const [clean] = recommendationsOf(results.recommendations, 'highest-clean-setting');
  const used = new Set(feeds.flatMap(({ taps }) => taps.map(({ tapId }) => tapId)));
  const bands = findingsOf(results.findings, 'band');
  const edge = (value: unknown) =>
    value !== null && typeof value === 'object' && 'value' in value ? Number(value.value) : null;
  return {
    verdict: 'do it with limits',
    because: [asWritten('volume stays at 30 or below')],
    player: { driveDbFs: 0, ceilingHz: null },
    volume: {
      setting: clean?.recorded ?? null,
      cleanSetting: clean?.recorded ?? null,
      highestRecorded: 38,
      supplyVolts: 14.4,
      engineOff: { supplyVolts: 12.6, setting: 28 },
    },
    taps: results.session.taps.map(({ id, side, position, plus, minus, connector }) => {
      const band = bands.find(({ tapIds }) => tapIds.includes(id));
      return {
        tapId: id,
        side: side === 'unknown' ? 'both' : side,
        position,
        inUse: used.has(id),
        level: 'speaker',
        levelAssumed: false,
        plus: plus?.colour ?? null,
        minus: minus?.colour ?? null,
        connector: connector ?? null,
        bandHz: [edge(band?.lowEdge?.minus3Hz), edge(band?.highEdge?.minus3Hz)],
        voltsRms: measured({ value: 6.85, plusMinus: 0.14 }),
        mostVoltsPeak: 12.6,
        loudestVoltsRms: null,
        limiter: null,
        noiseVoltsRms: 0.0004,
      };
    }),
    feeds: outputs.map((output) => chainFeed(results, output)),
    supply: {
      supplyVolts: 14.4,
      amplifiers: [{ name: 'amplifier', mostWatts: 1000, currentAmps: 92, fuseAmps: 100 }],
      fullCurrentAmps: 92,
      musicCurrentAmps: 31,
      fuseAtMostAmps: 125,
      fuseAtLeastAmps: 92,
      fuseAmps: 100,
      fittedFuse: { amps: 100, verdict: 'right' },
      groundMm2: 25,
    },
  };
}

function chainFeed({ recommendations }: Results, output: string): ChainFeed {
  const feeds = recommendationsOf(recommendations, 'feed').filter((feed) => feed.output === output);
  const own = <Kind extends { output: string }>(items: readonly Kind[]) =>
    items.find((item) => item.output === output);
  const level = own(recommendationsOf(recommendations, 'converter-level'));
  const gain = own(recommendationsOf(recommendations, 'amplifier-gain'));
  const restored = recommendationsOf(recommendations, 'restoration').find(
    (item) => item.output === output && item.verdict === 'restore',
  );
  const reading = (item: typeof level | typeof gain) => {
    const volts = item?.targets.find(({ setBy }) => setBy)?.voltsRms;
    return volts === undefined || isNotMeasurable(volts) ? 0 : volts.value;
  };
  const read = (item: typeof level | typeof gain) => ({
    toneHz: 100,
    driveDbFs: 0,
    setting: 30,
    restoration: 'none' as const,
    voltsRms: measured({ value: reading(item), plusMinus: 0 }),
    tolerancePercent: 5,
  });
  const node = (kind: ChainFeed['nodes'][number]['kind'], volts: number) => ({
    kind,
    voltsRms: measured({ value: volts, plusMinus: 0 }),
    limitVoltsRms: null,
    headroomDb: null,
    knob: null,
  });
  return {
    output: feeds[0].output,
    sides: feeds.map(({ side, taps, summed }) => ({ side, taps, summed, waitsSeconds: 0, equalizer: [] })),
    direct: false,
    noGains: [],
    conditions:
      output === 'front'
        ? [asWritten('connect the tweeters last, once a tone below their filter reads 12 dB less or lower')]
        : [],
    setting: 30,
    worstHz: 1000,
    restoration:
      restored === undefined
        ? null
        : {
            fromSetting: restored.fromSetting,
            boostDb: restored.amountDb,
            atHz: restored.atHz,
            frequencyHz: [],
            settings: [],
          },
    gains: null,
    noise: { converterVolts: 0, amplifierVolts: 0 },
    startWith: 'as wired',
    delaySeconds: 0,
    nodes: [
      node('output', 6.85),
      {
        ...node('converter output', reading(level)),
        knob: { kind: 'converter level', unit: 'dB', range: [-12, 12], setTo: -7.1, reading: read(level) },
      },
      {
        ...node('amplifier output', reading(gain)),
        knob: {
          kind: 'amplifier gain',
          unit: 'V for full output',
          range: [0.2, 8],
          setTo: 3,
          reading: read(gain),
        },
      },
    ],
    bindingLimit: 'the radio',
    clipsFirst: 'output',
    filters: recommendationsOf(recommendations, 'filter')
      .filter((filter) => filter.output === output)
      .map(({ type, cornerHz, slopeDbPerOctave, shortfall }) => ({
        type,
        state: 'set',
        cornerHz,
        slopeDbPerOctave,
        shortfall,
      })),
    amplifier: {
      name: output === 'subwoofer' ? 'Mono amplifier' : 'Four-channel amplifier',
      channels: 2,
      ratedWatts: 75,
      ratedOhms: 4,
      gainOverlapDb: 0,
    },
    load: {
      name: 'speaker',
      count: output === 'subwoofer' ? 1 : 2,
      ohms: 4,
      ratedWatts: output === 'subwoofer' ? 500 : 50,
      factory: output !== 'subwoofer',
    },
    wattsAtLoad: 43,
  };
}
