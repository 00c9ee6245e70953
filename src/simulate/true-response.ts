import { decibels } from '../dsp/decibels.ts';
import { evaluateSections } from '../dsp/filter-prototype.ts';
import type { Programme } from '../tones/track.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { fixedFilters, type PlacedFilter, volumeDependentFilters } from './tap-filters.ts';
import { legShare, pairVoltsRms, routingOf } from './tap-levels.ts';
import { samplesPerTrackSecond } from './tap-signal.ts';

interface Complex {
  readonly real: number;
  readonly imag: number;
}
type ResponseFunction = (frequencyHz: number) => Complex;

export interface TapAtSetting {
  readonly tapId: string;
  readonly setting: number;
}

/** The tap of a scenario. @throws RangeError where there is none of that name */
export function tapOf({ taps }: Scenario, tapId: string): SimulatedTap {
  const tap = taps.find(({ id }) => id === tapId);
  if (tap === undefined) throw new RangeError(`no tap '${tapId}' in the scenario`);
  return tap;
}

/**
 * The exact linear response of a tap, from the filters that made the sound: RMS volts across the pair for a full-scale
 * sine of the track, time zero at the track. Limiters and clipping left out.
 */
export function trueResponse(
  scenario: Scenario,
  { tapId, setting, programme }: TapAtSetting & { programme: Programme },
): ResponseFunction {
  const tap = tapOf(scenario, tapId);
  const routing = routingOf(tap);
  const weight = (programme === 'right' ? 0 : routing.left) + (programme === 'left' ? 0 : routing.right);
  const gain = weight * pairVoltsRms(tap, setting) * (tap.inverted ? -1 : 1);
  const filters = filterResponse(scenario, [...fixedFilters(tap), ...volumeDependentFilters(tap, setting)]);
  const delaySeconds = tap.delayMicroseconds * 1e-6;
  return (frequencyHz) => {
    const turn = turned(filters(frequencyHz), -2 * Math.PI * frequencyHz * delaySeconds);
    return { real: gain * turn.real, imag: gain * turn.imag };
  };
}

/**
 * The same as a recording shows it: full-scale units of the file for a full-scale drive, with one leg, pad and the
 * recorder's coupling. This is what `FrequencyResponse` holds, up to the time origin.
 */
export function trueRecordedResponse(
  scenario: Scenario,
  at: TapAtSetting & { programme: Programme },
): ResponseFunction {
  const { padRatio, fullScaleVoltsRms, couplingHz, couplingOrder } = scenario.recorder;
  const atTap = trueResponse(scenario, at);
  const gain = legShare(tapOf(scenario, at.tapId)) / (padRatio * fullScaleVoltsRms);
  const coupling = filterResponse(
    scenario,
    couplingHz === null ? [] : [{ sections: COUPLING[couplingOrder], cornerHz: couplingHz }],
  );
  return (frequencyHz) => {
    const { real, imag } = product(atTap(frequencyHz), coupling(frequencyHz));
    return { real: gain * real, imag: gain * imag };
  };
}

/** Butterworth high-passes, written out apart from the filters that make the sound. */
const COUPLING = {
  1: [{ b: [0, 1, 0], a: [0, 1, 1] }],
  2: [{ b: [1, 0, 0], a: [1, Math.SQRT2, 1] }],
} as const satisfies Record<number, PlacedFilter['sections']>;

/** Complex sum of taps as a converter adds them up, in volts. */
export function trueSum(
  scenario: Scenario,
  { tapIds, setting, programme }: { tapIds: readonly string[]; setting: number; programme: Programme },
): ResponseFunction {
  const responses = tapIds.map((tapId) => trueResponse(scenario, { tapId, setting, programme }));
  return (frequencyHz) =>
    responses
      .map((response) => response(frequencyHz))
      .reduce((sum, { real, imag }) => ({ real: sum.real + real, imag: sum.imag + imag }), {
        real: 0,
        imag: 0,
      });
}

/** Filters one behind the other, as the simulator runs them: bilinear at the recorder's rate. */
export function filterResponse(scenario: Scenario, filters: readonly PlacedFilter[]): ResponseFunction {
  const sampleRateHz = samplesPerTrackSecond(scenario);
  return (frequencyHz) =>
    filters
      .map(({ sections, cornerHz }) => evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz }))
      .reduce(product, { real: 1, imag: 0 });
}

export function levelDbOf({ real, imag }: Complex): number {
  return decibels(Math.hypot(real, imag));
}

function product(one: Complex, other: Complex): Complex {
  return {
    real: one.real * other.real - one.imag * other.imag,
    imag: one.real * other.imag + one.imag * other.real,
  };
}

function turned(value: Complex, radians: number): Complex {
  return product(value, { real: Math.cos(radians), imag: Math.sin(radians) });
}
