import { ratioOf } from '../dsp/decibels.ts';
import { BASS_FREQUENCIES_HZ } from '../model/finding.ts';
import { LADDER_TONES_HZ } from '../tones/track.ts';
import { type PlannedFile, planFiles } from './file-plan.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { fixedFilters, volumeDependentFilters } from './tap-filters.ts';
import { noiseVoltsRms, pairVoltsRms, routingOf } from './tap-levels.ts';
import { type TrueBand, trueBand } from './true-band.ts';
import { distinctSettings, trueBassChangeDb, trueOnset, truePlateau } from './true-bass.ts';
import { onsetRatio, peakVoltsAtRail, type TrueClipOnset, trueClipOnset } from './true-clipping.ts';
import { filterResponse, levelDbOf } from './true-response.ts';

/** What the scenario makes true, as numbers; `true-response.ts` gives responses and sums at any frequency. */
export interface Truth {
  readonly format: 'steptone truth';
  readonly scenario: Scenario;
  readonly taps: readonly TapTruth[];
  readonly files: readonly Pick<PlannedFile, 'file' | 'kind' | 'takes'>[];
}

interface TapTruth {
  readonly tapId: string;
  readonly routing: { readonly left: number; readonly right: number };
  readonly inverted: boolean;
  readonly delaySeconds: number;
  readonly band: TrueBand;
  readonly plateauSettings: readonly number[] | null;
  /** Judged at 40 Hz and half a decibel; `trueOnset` answers for others. */
  readonly bassOnset: { readonly lastIntact: number; readonly firstChanged: number } | null;
  readonly limiter: 'before the volume control' | 'after the volume control' | 'none';
  readonly settings: readonly SettingTruth[];
}

interface SettingTruth {
  readonly setting: number;
  /** For a 0 dBFS sine without EQ, filters and clipping. */
  readonly voltsRms: number;
  readonly noiseVoltsRms: number;
  /** At BASS_FREQUENCIES_HZ against the plateau; null without one. */
  readonly bassChangeDb: readonly (number | null)[];
  /** By ladder tone. */
  readonly clipping: readonly (TrueClipOnset & { readonly toneHz: number })[];
  readonly mostBoostedHz: number;
  /** Whether a 0 dBFS tone on both sides stays below 1 % distortion at `mostBoostedHz`. */
  readonly cleanAtFullScale: boolean;
}

/** What a truth calls an onset (chosen here; the findings have their own). */
const ONSET_HZ = 40;
const ONSET_DB = 0.5;

export function truthOf(scenario: Scenario): Truth {
  return {
    format: 'steptone truth',
    scenario,
    taps: scenario.taps.map((tap) => tapTruth(scenario, tap)),
    files: planFiles(scenario).map(({ file, kind, takes }) => ({ file, kind, takes })),
  };
}

function tapTruth(scenario: Scenario, tap: SimulatedTap): TapTruth {
  return {
    tapId: tap.id,
    routing: routingOf(tap),
    inverted: tap.inverted,
    delaySeconds: tap.delayMicroseconds * 1e-6,
    band: trueBand(scenario, tap.id),
    plateauSettings: truePlateau(scenario, tap.id),
    bassOnset: trueOnset(scenario, { tapId: tap.id, atHz: ONSET_HZ, thresholdDb: ONSET_DB }),
    limiter:
      tap.limiterBefore !== null
        ? 'before the volume control'
        : tap.limiterAfter !== null
          ? 'after the volume control'
          : 'none',
    settings: distinctSettings(scenario).map((setting) => settingTruth(scenario, tap, setting)),
  };
}

function settingTruth(scenario: Scenario, tap: SimulatedTap, setting: number): SettingTruth {
  const at = { tapId: tap.id, setting };
  const mostBoostedHz = mostBoosted(scenario, tap, setting);
  const railPeak = peakVoltsAtRail(scenario, { ...at, toneHz: mostBoostedHz, driveDbFs: 0 });
  const { left, right } = routingOf(tap);
  const drivePeak = Math.abs(left + right);
  const clipBefore = tap.clipBeforeDbFs === null ? Infinity : ratioOf(tap.clipBeforeDbFs);
  const ratio = onsetRatio(10);
  return {
    setting,
    voltsRms: pairVoltsRms(tap, setting),
    noiseVoltsRms: noiseVoltsRms(tap, setting),
    bassChangeDb: BASS_FREQUENCIES_HZ.map((frequencyHz) =>
      trueBassChangeDb(scenario, { ...at, frequencyHz }),
    ),
    clipping: LADDER_TONES_HZ.map((toneHz) => ({ toneHz, ...trueClipOnset(scenario, { ...at, toneHz }) })),
    mostBoostedHz,
    cleanAtFullScale: railPeak * ratio < (tap.railVoltsPeak ?? Infinity) && drivePeak * ratio < clipBefore,
  };
}

/** On a twelfth-octave search from 20 Hz to 20 kHz. */
function mostBoosted(scenario: Scenario, tap: SimulatedTap, setting: number): number {
  const response = filterResponse(scenario, [...fixedFilters(tap), ...volumeDependentFilters(tap, setting)]);
  let best = 1000; // flat taps are judged where levels are stated
  for (let n = 0; n <= 120; n++) {
    const frequencyHz = 20 * 2 ** (n / 12);
    if (levelDbOf(response(frequencyHz)) > levelDbOf(response(best)) + 0.01) best = frequencyHz;
  }
  return best;
}
