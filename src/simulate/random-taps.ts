import { ratioOf } from '../dsp/decibels.ts';
import { ORDERS_OF_FAMILY } from '../dsp/filter-prototype.ts';
import type { Random } from '../dsp/random.ts';
import { chance, logarithmic, pick } from './draw.ts';
import type { TapInput } from './scenario.ts';

type Fields<Name extends keyof TapInput> = NonNullable<TapInput[Name]>;

const FRONT_LEFT = { id: 'front-left', side: 'left', position: 'front' } as const;
const FRONT_RIGHT = { id: 'front-right', side: 'right', position: 'front' } as const;
const REAR_LEFT = { id: 'rear-left', side: 'left', position: 'rear' } as const;
const SUBWOOFER = { id: 'subwoofer', side: 'both', position: 'subwoofer' } as const;
const DASH = { id: 'dash-left', side: 'left', position: 'dash' } as const;
const DOOR = { id: 'door-left', side: 'left', position: 'door' } as const;

/** Where two-way systems and subwoofers split (common practice). */
const SPLIT_HZ = [100, 4000] as const;
const SUBWOOFER_HZ = [60, 150] as const;
const DOOR_PROTECTION_HZ = [40, 110] as const;

/** Half of these limit before the volume control, half behind it. */
const LIMITER_PART = 0.26;

/** The taps of a random system, without what all of them share. */
export function randomTapInputs(of: {
  random: Random;
  settings: readonly number[];
  nothingToFind: boolean;
  /** Each with split bands and a limiter, and half of them with loudness. */
  rich: boolean;
  /** Of a full-scale sine at the highest setting. */
  topVoltsRms: number;
}): TapInput[] {
  const { random, settings, nothingToFind, rich, topVoltsRms } = of;
  // What is rare stands in the upper halves of the lots.
  const lot = () => (rich ? 0.5 + 0.5 * random.uniform() : random.uniform());
  const fixedEq = chance(random, 0.5) ? randomEq(random) : [];
  if (nothingToFind) {
    const pair: TapInput[] = [FRONT_LEFT, FRONT_RIGHT];
    return (chance(random, 0.5) ? [...pair, REAR_LEFT] : pair).map((tap) => ({ ...tap, fixedEq }));
  }
  const shared: TapInput = {
    fixedEq,
    volumeDependent: volumeDependence(random, settings, lot()),
    ...limiter(random, topVoltsRms, rich ? 1 : LIMITER_PART),
  };
  return layout(random, lot()).map((tap, i) => ({
    ...shared,
    ...tap,
    ...(i > 0 && chance(random, 0.5) ? { delayMicroseconds: logarithmic(random, [20, 6000]) } : {}),
    inverted: i > 0 && chance(random, 0.25),
  }));
}

function layout(random: Random, kind: number): TapInput[] {
  if (kind < 0.15) return [FRONT_LEFT, FRONT_RIGHT];
  if (kind < 0.3) return [FRONT_LEFT, FRONT_RIGHT, REAR_LEFT];
  if (kind < 0.5) return [FRONT_LEFT, FRONT_RIGHT, subwoofer(random)];
  const split = bandSplit(random);
  return kind < 0.8 ? split : [...split, subwoofer(random)];
}

function subwoofer(random: Random): TapInput {
  const corner = { side: 'low-pass' as const, cornerHz: logarithmic(random, SUBWOOFER_HZ) };
  const { family, order } = randomFilter(random);
  return { ...SUBWOOFER, crossover: [{ ...corner, family, order: Math.max(2, order) }] };
}

/** Dash and door meet at one corner; some doors are protected from below as well. */
function bandSplit(random: Random): TapInput[] {
  const filter = { ...randomFilter(random), cornerHz: logarithmic(random, SPLIT_HZ) };
  const protection: Fields<'crossover'>[number][] =
    filter.cornerHz > 400 && chance(random, 0.4)
      ? [{ side: 'high-pass', ...randomFilter(random), cornerHz: logarithmic(random, DOOR_PROTECTION_HZ) }]
      : [];
  return [
    { ...DASH, crossover: [{ side: 'high-pass', ...filter }] },
    { ...DOOR, crossover: [{ side: 'low-pass', ...filter }, ...protection] },
  ];
}

/** A family with an order whose slope is one that radios offer. */
function randomFilter(random: Random): {
  family: keyof typeof ORDERS_OF_FAMILY;
  order: number;
} {
  const family = pick(random, ['butterworth', 'linkwitz-riley', 'bessel'] as const);
  const orders = [1, 2, 3, 4, 8].filter((order) => ORDERS_OF_FAMILY[family].includes(order));
  return { family, order: pick(random, orders) };
}

function randomEq(random: Random): Fields<'fixedEq'> {
  const peaks = Array.from({ length: Math.floor(random.uniform() * 3) }, () => ({
    kind: 'peak' as const,
    frequencyHz: logarithmic(random, [60, 10_000]),
    gainDb: random.between([-6, 6]),
    q: logarithmic(random, [0.7, 3]),
  }));
  const low = { kind: 'low shelf' as const, frequencyHz: 100, gainDb: random.between([-4, 6]) };
  const high = { kind: 'high shelf' as const, frequencyHz: 8000, gainDb: random.between([-4, 4]) };
  return [...peaks, ...(chance(random, 0.5) ? [low] : []), ...(chance(random, 0.3) ? [high] : [])];
}

/** Loss from the fourth or fifth setting on (sometimes the third: no plateau), loudness at the lowest one or two. */
function volumeDependence(
  random: Random,
  settings: readonly number[],
  kind: number,
): Fields<'volumeDependent'> {
  const first = pick(random, [2, 3, 3, 3, 3, 4, 4]);
  if (kind < 0.25) return [];
  if (kind < 0.5) return [shelfLoss(random, settings, first)];
  if (kind < 0.75) return [climbingHighPass(random, settings, first)];
  if (kind < 0.9) return [loudness(random, settings, pick(random, [1, 2]))];
  return [loudness(random, settings, 1), shelfLoss(random, settings, 4)];
}

function shelfLoss(random: Random, settings: readonly number[], first: number) {
  const deepest = random.between([-14, -2]);
  return {
    kind: 'low shelf' as const,
    frequencyHz: logarithmic(random, [60, 140]),
    q: random.between([0.5, 0.9]),
    gainDb: growing(settings, { first, from: 0, to: deepest }),
  };
}

function climbingHighPass(random: Random, settings: readonly number[], first: number) {
  const family = pick(random, ['butterworth', 'linkwitz-riley'] as const);
  const order = family === 'butterworth' ? pick(random, [1, 2, 3, 4]) : pick(random, [2, 4]);
  // Some are there at every setting and only climb.
  const from = chance(random, 0.3) ? random.between([20, 35]) : 0;
  const to = random.between([55, 120]);
  const table = growing(settings, { first, from: from === 0 ? 30 : from, to });
  const cornerHz = Object.fromEntries(
    settings.map((setting, i) => [`${setting}`, i < first ? from : table[`${setting}`]]),
  );
  return { kind: 'high-pass' as const, family, order, cornerHz };
}

function loudness(random: Random, settings: readonly number[], lifted: number) {
  const most = random.between([3, 9]);
  return {
    kind: 'low shelf' as const,
    frequencyHz: logarithmic(random, [60, 120]),
    gainDb: Object.fromEntries(
      settings.map((setting, i) => [`${setting}`, i < lifted ? most * (1 - i / lifted) : 0]),
    ),
  };
}

/** A value by setting that stays at `from` below the setting of index `first` and grows evenly to `to` at the last. */
function growing(
  settings: readonly number[],
  { first, from, to }: { first: number; from: number; to: number },
): Record<string, number> {
  const steps = settings.length - first;
  return Object.fromEntries(
    settings.map((setting, i) => {
      const part = Math.max(0, i - first + 1) / steps;
      return [`${setting}`, from + (to - from) * part];
    }),
  );
}

/** Limits the bass before the volume control, or behind it from a volt or so on. */
function limiter(
  random: Random,
  topVoltsRms: number,
  part: number,
): Pick<TapInput, 'limiterBefore' | 'limiterAfter'> {
  const kind = random.uniform();
  const belowHz = random.between([80, 200]);
  const driveDb = random.between([-24, -8]);
  if (kind < part / 2) return { limiterBefore: { belowHz, thresholdDbFs: driveDb } };
  if (kind < part) return { limiterAfter: { belowHz, thresholdVoltsRms: topVoltsRms * ratioOf(driveDb) } };
  return {};
}
