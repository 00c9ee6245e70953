import type { AnalogSection } from '../dsp/analog-section.ts';
import { eqSections } from '../dsp/eq-band.ts';
import { allPassSections, prototypeSections } from '../dsp/filter-prototype.ts';
import type { SimulatedTap } from './simulated-tap.ts';

/** One filter of the radio: a prototype and where its corner lies. Both the sound and the truth are made from it. */
export interface PlacedFilter {
  readonly sections: readonly AnalogSection[];
  readonly cornerHz: number;
}

/** Fixed EQ, crossover and all-pass: the same at every volume setting. */
export function fixedFilters({ fixedEq, crossover, allPass }: SimulatedTap): PlacedFilter[] {
  return [
    ...fixedEq.map((eq) => ({ sections: eqSections({ ...eq, shape: eq.kind }), cornerHz: eq.frequencyHz })),
    ...crossover.map((filter) => ({ sections: prototypeSections(filter), cornerHz: filter.cornerHz })),
    ...allPass.map((filter) => ({ sections: allPassSections(filter), cornerHz: filter.cornerHz })),
  ];
}

/** What the volume setting adds: nothing where every gain is 0 dB and no high-pass has begun. */
export function volumeDependentFilters({ volumeDependent }: SimulatedTap, setting: number): PlacedFilter[] {
  return volumeDependent.flatMap((entry): PlacedFilter[] => {
    if (entry.kind === 'high-pass') {
      const cornerHz = valueAtSetting(entry.cornerHz, setting);
      return cornerHz > 0 ? [{ sections: prototypeSections({ ...entry, side: 'high-pass' }), cornerHz }] : [];
    }
    const gainDb = valueAtSetting(entry.gainDb, setting);
    if (gainDb === 0) return [];
    return [{ sections: eqSections({ shape: entry.kind, gainDb, q: entry.q }), cornerHz: entry.frequencyHz }];
  });
}

/** A table by setting: straight lines between the settings named, level beyond them. */
export function valueAtSetting(table: Readonly<Record<string, number>>, setting: number): number {
  const points = Object.entries(table)
    .map(([at, value]) => ({ at: Number(at), value }))
    .sort((one, other) => one.at - other.at);
  const above = points.findIndex(({ at }) => at >= setting);
  if (above === -1) return points[points.length - 1].value;
  const next = points[above];
  if (above === 0 || next.at === setting) return next.value;
  const previous = points[above - 1];
  return previous.value + ((setting - previous.at) / (next.at - previous.at)) * (next.value - previous.value);
}
