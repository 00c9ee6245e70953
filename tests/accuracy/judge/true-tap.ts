import type { RandomFactory } from '../../../src/simulate/random-factory.ts';
import type { SimulatedTap } from '../../../src/simulate/simulated-tap.ts';
import { fixedFilters, volumeDependentFilters } from '../../../src/simulate/tap-filters.ts';
import { distinctSettings } from '../../../src/simulate/true-bass.ts';
import { filterResponse, levelDbOf } from '../../../src/simulate/true-response.ts';

const AUDIBLE_HZ = [20, 20_000] as const;

/** One tap of a random factory and what its filters do, worked out from the scenario alone. */
export interface TrueTap {
  readonly factory: RandomFactory;
  readonly tap: SimulatedTap;
  readonly settings: readonly number[];
  /** Fixed EQ and crossover, decibels. */
  readonly fixedDb: (frequencyHz: number) => number;
  /** The crossover alone. */
  readonly edgeDb: (frequencyHz: number) => number;
  readonly dependentDb: (setting: number, frequencyHz: number) => number;
  /** Band in which a pass band is looked for: what stands clear of the noise, within the audible. */
  readonly bandHz: readonly [number, number];
  /** Highest of `fixedDb` from 20 Hz to 20 kHz. */
  readonly strongestDb: number;
}

function trueTap(factory: RandomFactory, tap: SimulatedTap, bandHz: readonly [number, number]): TrueTap {
  const { scenario } = factory;
  const fixed = filterResponse(scenario, fixedFilters({ ...tap, allPass: [] }));
  const edges = filterResponse(scenario, fixedFilters({ ...tap, allPass: [], fixedEq: [] }));
  const settings = distinctSettings(scenario);
  const dependent = new Map(
    settings.map((setting) => [setting, filterResponse(scenario, volumeDependentFilters(tap, setting))]),
  );
  const fixedDb = (frequencyHz: number) => levelDbOf(fixed(frequencyHz));
  return {
    factory,
    tap,
    settings,
    bandHz,
    fixedDb,
    edgeDb: (frequencyHz) => levelDbOf(edges(frequencyHz)),
    dependentDb: (setting, frequencyHz) => levelDbOf(dependent.get(setting)!(frequencyHz)),
    strongestDb: Math.max(...frequencies(20, 20_000).map(fixedDb)),
  };
}

export function trueTaps(
  factory: RandomFactory,
  trustedHz: Readonly<Record<string, readonly [number, number]>>,
): TrueTap[] {
  return factory.scenario.taps.map((tap) => trueTap(factory, tap, trustedHz[tap.id] ?? AUDIBLE_HZ));
}

/** Frequencies from one to another, even over the logarithm, 48 an octave. */
export function frequencies(fromHz: number, toHz: number): number[] {
  const count = Math.round(48 * Math.log2(toHz / fromHz));
  return Array.from({ length: count + 1 }, (_, i) => fromHz * (toHz / fromHz) ** (i / count));
}

/** How far a tap is below its strongest at a frequency, decibels, 0 or more. */
export function downDb({ fixedDb, strongestDb }: TrueTap, frequencyHz: number): number {
  return strongestDb - fixedDb(frequencyHz);
}

export function hasLimiter({ tap }: TrueTap): boolean {
  return tap.limiterBefore !== null || tap.limiterAfter !== null;
}
