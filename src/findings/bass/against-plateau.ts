import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../model/finding.ts';
import { measured, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import { COVERAGE } from '../coverage.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import { bassChangeBase } from './bass-change-base.ts';
import { type BassLevel, type BassLevels, NO_FULL_RANGE_TAP } from './bass-levels.ts';
import { type BassDifference, type BassOnset, bassOnset, liftedUpTo, whyNotSteady } from './bass-onset.ts';
import { findBassShape } from './bass-shape.ts';
import { bendDb } from './bend.ts';
import { type Estimate, highestLevelDb, SIGNIFICANT } from './level-profile.ts';
import { loneLoss } from './lone-loss.ts';
import { largestLoss } from './loss-at-least.ts';
import { plateauMean } from './plateau.ts';
import { steadyOnlySoFar } from './steady-so-far.ts';

type BassChange = FindingOf<'bass-change'>;
type LoudnessContour = FindingOf<'loudness-contour'>;

/**
 * What two swept responses differ by without noise (standard deviation): a floor, and a part of the change itself, which the
 * window smooths and whose tail reaches into the middle (8.4 dB of shelf were 0.015 dB out in recordings at 60 dB SNR).
 */
const SYSTEMATIC_DB = 5e-4;
const SYSTEMATIC_PART = 1e-3;

/** The settings that a tap's bass is held against, and what it needs for that. */
export interface AgainstPlateau {
  readonly series: TapSeries;
  readonly tapLevels: BassLevels;
  readonly plateau: readonly BassLevel[];
  /** Decibels that a limiter may have taken at each setting. */
  readonly limiterFree: ReadonlyMap<number, number>;
}

/** What the bass of one tap does against its plateau, and a loudness contour where it is lifted below. */
export function bassAgainstPlateau(of: AgainstPlateau): [BassChange, ...LoudnessContour[]] {
  const { series, tapLevels, plateau } = of;
  const means = BASS_FREQUENCIES_HZ.map((_, at) => plateauMean(plateau, at));
  const changes = differences(of, means);
  const parts: Parts = {
    of,
    below: changes.filter(({ level }) => level.setting < plateau[0].setting),
    above: changes.filter(({ level }) => level.setting >= plateau[0].setting),
    common: {
      ...bassChangeBase(series, tapLevels.leftOut),
      plateauSettings: plateau.map(({ setting }) => setting),
      changes: changes.map(({ level, changes: values }) => ({
        setting: level.setting,
        changeDb: values.map((value, at) => asMeasured(value, means[at])),
      })),
    },
  };
  const onset = bassOnset(parts.above, tapLevels.referenceTapId);
  const upToSetting = liftedUpTo(parts.below);
  return [
    onset !== null && onset.doubt === null ? fallsFrom(onset, parts) : noFall(parts, onset?.doubt ?? null),
    ...(upToSetting === null ? [] : [loudnessContour({ series, changes, upToSetting })]),
  ];
}

interface Parts {
  readonly of: AgainstPlateau;
  readonly below: readonly BassDifference[];
  readonly above: readonly BassDifference[];
  readonly common: ReturnType<typeof bassChangeBase> & Pick<BassChange, 'plateauSettings' | 'changes'>;
}

/** Every setting against the plateau's mean. */
function differences(
  { tapLevels, plateau, limiterFree }: AgainstPlateau,
  means: readonly (Estimate | null)[],
): BassDifference[] {
  return tapLevels.perSetting.map((level) => {
    const own = level.levels.limitedByAtMostDb;
    return {
      level,
      changes: level.relative.map((value, at) =>
        changeOf({
          value,
          mean: means[at],
          inPlateau: plateau.includes(level),
          plateau,
          bentDb: bendDb({ level, plateau, frequencyHz: BASS_FREQUENCIES_HZ[at] }),
        }),
      ),
      atMostDb: means.map((mean, at) => atMostDb(level, at, mean)),
      limitedByAtMostDb: Number.isFinite(own) ? own : (limiterFree.get(level.setting) ?? own),
    };
  });
}

function fallsFrom(onset: BassOnset, { of, above, common }: Parts): BassChange {
  const { series, tapLevels, plateau } = of;
  const { lastIntact, firstChanged, atHz, thresholdDb } = onset;
  const midpoint = (lastIntact + firstChanged) / 2;
  const lone = loneLoss(above, { ...onset, tapId: series.tap.id });
  return {
    ...common,
    ...(lone === null ? {} : { doubts: [...(common.doubts ?? []), lone] }),
    verdict: 'falls with volume',
    reason: null,
    onset: { lastIntact, firstChanged, midpoint, atHz, thresholdDb },
    shape: findBassShape({
      plateau,
      changed: above.map(({ level }) => level).filter(({ setting }) => setting >= firstChanged),
    }),
    ...atLeastOf(common.changes, { tapLevels, plateau }),
    recordNext: firstChanged - lastIntact > 1 ? Math.floor(midpoint) : lone === null ? null : firstChanged,
  };
}

/** Steady, unless something hides whether it falls. */
function noFall({ of: { tapLevels }, below, above, common }: Parts, doubt: Reason | null): BassChange {
  const reason: Reason | null =
    doubt ??
    whyNotSteady({ below, above }) ??
    // All of the bass may fall alike, where nothing but the bass itself is there to hold it against.
    (tapLevels.lossesAtLeast ? NO_FULL_RANGE_TAP : null);
  const verdict = reason === null ? 'steady' : 'cannot be told';
  return steadyOnlySoFar(
    { ...common, verdict, reason, onset: null, shape: null, recordNext: null },
    tapLevels.leftOut.map(({ setting }) => setting),
  );
}

/** The largest loss, where it is told too small because the tap's own upper bass stands for its middle. */
function atLeastOf(
  changes: BassChange['changes'],
  { tapLevels, plateau }: { tapLevels: BassLevels; plateau: readonly BassLevel[] },
): Pick<BassChange, 'atLeast'> {
  const largest = tapLevels.lossesAtLeast ? largestLoss(changes) : null;
  return largest === null ? {} : { atLeast: { fromSetting: plateau[0].setting, ...largest } };
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
  bentDb: number;
}): Estimate | null {
  const { value, mean, inPlateau, plateau, bentDb } = of;
  if (value === null || mean === null) return null;
  // A setting of the plateau is part of the mean that it is held against.
  const own = inPlateau ? value.sigma ** 2 * (1 - 2 / plateau.length) : value.sigma ** 2;
  const change = value.value - mean.value;
  const systematic = SYSTEMATIC_DB + SYSTEMATIC_PART * Math.abs(change);
  return {
    value: change,
    sigma: Math.sqrt(Math.max(0, own) + mean.sigma ** 2 + systematic ** 2 + bentDb ** 2),
  };
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
      .map(({ level, changes: values }) => ({
        setting: level.setting,
        changeDb: values.map((value) => asMeasured(value, value)),
      })),
    upToSetting,
  };
}

function asMeasured(change: Estimate | null, mean: Estimate | null) {
  if (change !== null) return measured({ value: change.value, plusMinus: COVERAGE * change.sigma });
  return notMeasurable({
    code: mean === null ? 'plateau not clear of the noise' : 'bass not clear of the noise',
  });
}
