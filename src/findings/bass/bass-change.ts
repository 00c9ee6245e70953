import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../model/finding.ts';
import { measured, notMeasurable } from '../../model/measured.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import { type BassLevel, type BassLevels, bassLevels } from './bass-levels.ts';
import {
  type BassDifference,
  bassOnset,
  COVERAGE,
  liftedUpTo,
  SIGNIFICANT,
  whyNotSteady,
} from './bass-onset.ts';
import { findBassShape } from './bass-shape.ts';
import { type Estimate, highestLevelDb } from './level-profile.ts';
import { borrowedPlateau, findPlateau, plateauMean } from './plateau.ts';

type BassChange = FindingOf<'bass-change'>;
type LoudnessContour = FindingOf<'loudness-contour'>;

/**
 * What two swept responses differ by without noise (standard deviation): a floor, and a part of the change itself, which the
 * window smooths and whose tail reaches into the middle (8.4 dB of shelf were 0.015 dB out in recordings at 60 dB SNR).
 */
const SYSTEMATIC_DB = 5e-4;
const SYSTEMATIC_PART = 1e-3;

/** What happens to the bass of every tap as the volume goes up: a bass-change finding each, and a loudness contour where one shows. */
export function findBassChanges(all: readonly TapSeries[]): (BassChange | LoudnessContour)[] {
  const levels = all.map((series) => bassLevels(series, all));
  const plateaus = levels.map((tapLevels) =>
    typeof tapLevels === 'string' ? tapLevels : findPlateau(tapLevels.perSetting),
  );
  const known = plateaus.find((plateau) => typeof plateau !== 'string');
  const knownSettings = typeof known === 'object' ? known.map(({ setting }) => setting) : [];
  const limiterFree = settingsWithoutLimiter(levels);
  return all.flatMap((series, i) => {
    const tapLevels = levels[i];
    if (typeof tapLevels === 'string') return [cannotBeTold({ series, reason: tapLevels, recordNext: null })];
    const own = plateaus[i];
    const plateau =
      typeof own === 'string' ? (borrowedPlateau(tapLevels.perSetting, knownSettings) ?? own) : own;
    return typeof plateau === 'string'
      ? [cannotBeTold({ series, reason: plateau, recordNext: settingForPlateau(tapLevels.perSetting) })]
      : judged({ series, tapLevels, plateau, limiterFree });
  });
}

/** Decibels that a limiter may have taken at each setting, by the tap that can tell best: it is one radio. */
function settingsWithoutLimiter(levels: readonly (BassLevels | string)[]): ReadonlyMap<number, number> {
  const bounds = new Map<number, number>();
  for (const { setting, levels: linear } of levels.flatMap((tap) =>
    typeof tap === 'string' ? [] : tap.perSetting,
  )) {
    if (linear.drive === 'low-drive sweep') continue;
    bounds.set(setting, Math.min(bounds.get(setting) ?? Number.POSITIVE_INFINITY, linear.limitedByAtMostDb));
  }
  return bounds;
}

function judged(of: {
  series: TapSeries;
  tapLevels: BassLevels;
  plateau: readonly BassLevel[];
  limiterFree: ReadonlyMap<number, number>;
}): (BassChange | LoudnessContour)[] {
  const { series, tapLevels, plateau, limiterFree } = of;
  const means = BASS_FREQUENCIES_HZ.map((_, at) => plateauMean(plateau, at));
  const changes = tapLevels.perSetting.map((level): BassDifference => {
    const own = level.levels.limitedByAtMostDb;
    return {
      level,
      changes: level.relative.map((value, at) =>
        changeOf({ value, mean: means[at], inPlateau: plateau.includes(level), plateau }),
      ),
      atMostDb: means.map((mean, at) => atMostDb(level, at, mean)),
      limitedByAtMostDb: Number.isFinite(own) ? own : (limiterFree.get(level.setting) ?? own),
    };
  });
  const below = changes.filter(({ level }) => level.setting < plateau[0].setting);
  const above = changes.filter(({ level }) => level.setting >= plateau[0].setting);
  const loss = bassOnset(above, tapLevels.referenceTapId);
  const lifted = liftedUpTo(below);
  const loudness = lifted === null ? [] : [loudnessContour({ series, changes, upToSetting: lifted })];
  const common = {
    ...bassChangeBase(series),
    plateauSettings: plateau.map(({ setting }) => setting),
    changes: changes.map(({ level, changes: values }) => ({
      setting: level.setting,
      changeDb: values.map(asMeasured),
    })),
  };
  if (loss !== null && loss.doubt === null) {
    const { lastIntact, firstChanged, atHz, thresholdDb } = loss;
    const gap = firstChanged - lastIntact;
    const midpoint = (lastIntact + firstChanged) / 2;
    return [
      {
        ...common,
        verdict: 'falls with volume',
        reason: leftOutText(tapLevels),
        onset: { lastIntact, firstChanged, midpoint, atHz, thresholdDb },
        shape: findBassShape({
          plateau,
          changed: above.map(({ level }) => level).filter(({ setting }) => setting >= firstChanged),
        }),
        recordNext: gap > 1 ? Math.floor(midpoint) : null,
      },
      ...loudness,
    ];
  }
  const reason = loss?.doubt ?? whyNotSteady({ below, above });
  return [
    {
      ...common,
      verdict: reason === null ? 'steady' : 'cannot be told',
      reason: reason ?? leftOutText(tapLevels),
      onset: null,
      shape: null,
      recordNext: null,
    },
    ...loudness,
  ];
}

/** What a change stays below where the level is not trusted, but for noise of so many standard deviations; null where it is. */
function atMostDb({ levels, middle, relative }: BassLevel, at: number, mean: Estimate | null): number | null {
  if (relative[at] !== null || mean === null) return null;
  const highest = highestLevelDb(levels.profile, {
    frequencyHz: BASS_FREQUENCIES_HZ[at],
    sigmas: SIGNIFICANT,
  });
  return highest - middle.value - mean.value + SIGNIFICANT * (middle.sigma + mean.sigma);
}

function changeOf(of: {
  value: Estimate | null;
  mean: Estimate | null;
  inPlateau: boolean;
  plateau: readonly BassLevel[];
}): Estimate | null {
  const { value, mean, inPlateau, plateau } = of;
  if (value === null || mean === null) return null;
  // A setting of the plateau is part of the mean that it is held against.
  const own = inPlateau ? value.sigma ** 2 * (1 - 2 / plateau.length) : value.sigma ** 2;
  const change = value.value - mean.value;
  const systematic = SYSTEMATIC_DB + SYSTEMATIC_PART * Math.abs(change);
  return { value: change, sigma: Math.sqrt(Math.max(0, own) + mean.sigma ** 2 + systematic ** 2) };
}

function loudnessContour(of: {
  series: TapSeries;
  changes: readonly BassDifference[];
  upToSetting: number;
}): LoudnessContour {
  const { series, changes, upToSetting } = of;
  return {
    kind: 'loudness-contour',
    id: `loudness-contour:${series.tap.id}`,
    tapIds: [series.tap.id],
    evidence: evidenceOf(series.takes),
    changes: changes
      .filter(({ level }) => level.setting <= upToSetting)
      .map(({ level, changes: values }) => ({ setting: level.setting, changeDb: values.map(asMeasured) })),
    upToSetting,
  };
}

function cannotBeTold(of: { series: TapSeries; reason: string; recordNext: number | null }): BassChange {
  return {
    ...bassChangeBase(of.series),
    verdict: 'cannot be told',
    reason: of.reason,
    plateauSettings: [],
    changes: [],
    onset: null,
    shape: null,
    recordNext: of.recordNext,
  };
}

function bassChangeBase({ tap, takes }: TapSeries) {
  return {
    kind: 'bass-change' as const,
    id: `bass-change:${tap.id}`,
    tapIds: [tap.id],
    evidence: evidenceOf(takes),
  };
}

/** Middle of the widest gap between the lowest settings: a plateau, if there is one, lies at low to middle settings. */
function settingForPlateau(levels: readonly BassLevel[]): number | null {
  const settings = levels.map(({ setting }) => setting);
  const gaps = settings.slice(1).map((setting, i) => ({ from: settings[i], width: setting - settings[i] }));
  const widest = gaps
    .slice(0, Math.max(1, Math.ceil(gaps.length / 2)))
    .reduce((best, gap) => (gap.width > best.width ? gap : best), { from: 0, width: 1 });
  return widest.width > 1 ? Math.floor(widest.from + widest.width / 2) : null;
}

function leftOutText({ leftOut }: BassLevels): string | null {
  return leftOut.length === 0
    ? null
    : leftOut.map(({ setting, reason }) => `setting ${setting} is left out: ${reason}`).join('; ');
}

function asMeasured(change: Estimate | null) {
  return change === null
    ? notMeasurable('bass here is not far enough above the noise')
    : measured({ value: change.value, plusMinus: COVERAGE * change.sigma });
}
