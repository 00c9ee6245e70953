import { BASS_FREQUENCIES_HZ, type FindingOf } from '../model/finding.ts';
import { measured, notMeasurable } from '../model/measured.ts';
import { type BassLevel, type BassLevels, bassLevels } from './bass-levels.ts';
import { findBassShape } from './bass-shape.ts';
import type { Estimate } from './level-profile.ts';
import { borrowedPlateau, findPlateau, PLATEAU_DB, plateauMean } from './plateau.ts';
import { evidenceOf, type TapSeries } from './tap-series.ts';

type BassChange = FindingOf<'bass-change'>;
type LoudnessContour = FindingOf<'loudness-contour'>;

/** A change counts from here on, as the plateau ends here, and not before it stands this many standard deviations clear. */
const CHANGE_DB = PLATEAU_DB;
const SIGNIFICANT = 4.5;
const COVERAGE = 2;
/** Two swept responses of one linear system agree this well at best (systematic part of the standard deviation). */
const SYSTEMATIC_DB = 0.005;
/** 'Steady' is not said where a change of this size could hide in the noise. */
const HIDDEN_CHANGE_DB = 2;
/** A later setting supports an earlier one's change while it shows at least this part of the threshold. */
const SUPPORT = 0.5;
/** A loss that differs by less than this over the bass is one of level. */
const EVEN_DB = 1;

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

interface Change {
  readonly level: BassLevel;
  /** Against the plateau, one for each of BASS_FREQUENCIES_HZ. */
  readonly changes: readonly (Estimate | null)[];
  readonly limitedByAtMostDb: number;
}

function judged(of: {
  series: TapSeries;
  tapLevels: BassLevels;
  plateau: readonly BassLevel[];
  limiterFree: ReadonlyMap<number, number>;
}): (BassChange | LoudnessContour)[] {
  const { series, tapLevels, plateau, limiterFree } = of;
  const means = BASS_FREQUENCIES_HZ.map((_, at) => plateauMean(plateau, at));
  const changes = tapLevels.perSetting.map((level): Change => {
    const own = level.levels.limitedByAtMostDb;
    return {
      level,
      changes: level.relative.map((value, at) =>
        changeOf({ value, mean: means[at], inPlateau: plateau.includes(level), plateau }),
      ),
      limitedByAtMostDb: Number.isFinite(own) ? own : (limiterFree.get(level.setting) ?? own),
    };
  });
  const below = changes.filter(({ level }) => level.setting < plateau[0].setting);
  const above = changes.filter(({ level }) => level.setting >= plateau[0].setting);
  const loss = onsetOf(above, tapLevels.referenceTapId);
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
  return {
    value: value.value - mean.value,
    sigma: Math.sqrt(Math.max(0, own) + mean.sigma ** 2 + SYSTEMATIC_DB ** 2),
  };
}

interface Onset {
  readonly lastIntact: number;
  readonly firstChanged: number;
  readonly atHz: number;
  readonly thresholdDb: number;
  /** Why the loss cannot be laid to the volume; null where it can. */
  readonly doubt: string | null;
}

/** First setting from which on bass is lost, at the frequency that shows it most clearly; null where none is. */
function onsetOf(above: readonly Change[], referenceTapId: string | null): Onset | null {
  const candidates = BASS_FREQUENCIES_HZ.flatMap((atHz, at) => {
    const present = above.flatMap(({ level, changes, limitedByAtMostDb }) =>
      changes[at] === null ? [] : [{ setting: level.setting, change: changes[at], limitedByAtMostDb }],
    );
    if (present.length < 2) return [];
    const thresholdDb = Math.max(
      CHANGE_DB,
      SIGNIFICANT * Math.max(...present.map(({ change }) => change.sigma)),
    );
    const isLost = ({ change }: (typeof present)[number]) => -change.value >= thresholdDb;
    const first = present.findIndex(
      (entry, i) =>
        isLost(entry) && present.slice(i).every(({ change }) => -change.value >= SUPPORT * thresholdDb),
    );
    if (first < 1) return [];
    const lost = present.slice(first);
    const proven = lost.some(
      ({ change, limitedByAtMostDb }) => -change.value - limitedByAtMostDb >= thresholdDb,
    );
    const clearest = Math.max(...lost.map(({ change }) => -change.value / change.sigma));
    return [
      {
        atHz,
        thresholdDb,
        lastIntact: present[first - 1].setting,
        firstChanged: present[first].setting,
        proven,
        clearest,
      },
    ];
  });
  const [best] = candidates.sort(
    (one, other) => Number(other.proven) - Number(one.proven) || other.clearest - one.clearest,
  );
  if (best === undefined) return null;
  const { atHz, thresholdDb, lastIntact, firstChanged, proven } = best;
  const doubt = !proven
    ? 'bass is lost at the main sweep’s drive, but nothing at a lower drive shows whether a limiter or the volume takes it'
    : referenceTapId !== null && isEvenLoss(above[above.length - 1])
      ? `all of this tap’s bass falls alike against ${referenceTapId}: its own volume law or a cut above its band cannot be told`
      : null;
  return { atHz, thresholdDb, lastIntact, firstChanged, doubt };
}

/** Whether a tap without a middle lost the same at all bass frequencies. */
function isEvenLoss({ changes }: Change): boolean {
  const known = changes.filter((change) => change !== null);
  const values = known.map(({ value }) => value);
  return (
    Math.max(...values) - Math.min(...values) <=
    Math.max(EVEN_DB, SIGNIFICANT * Math.max(...known.map(({ sigma }) => sigma)))
  );
}

/** Highest setting below the plateau at which bass is lifted; null where none is. */
function liftedUpTo(below: readonly Change[]): number | null {
  const lifted = below.filter(({ changes }) =>
    changes.some((change) => change !== null && isBeyond(change, 1)),
  );
  return lifted.length === 0 ? null : Math.max(...lifted.map(({ level }) => level.setting));
}

function isBeyond({ value, sigma }: Estimate, sign: 1 | -1): boolean {
  return sign * value >= Math.max(CHANGE_DB, SIGNIFICANT * sigma);
}

function whyNotSteady(of: { below: readonly Change[]; above: readonly Change[] }): string | null {
  const { below, above } = of;
  const any = (changes: readonly Change[], sign: 1 | -1) =>
    changes.find(({ changes: values }) => values.some((change) => change !== null && isBeyond(change, sign)));
  const rising = any(above, 1) ?? any(below, -1);
  if (rising !== undefined) {
    return `bass at setting ${rising.level.setting} stands against the rest in a way that no loss and no loudness contour explains`;
  }
  const dropped = any(above, -1);
  if (dropped !== undefined)
    return `bass is lower at setting ${dropped.level.setting} but not at all settings above it`;
  const known = [...below, ...above].flatMap(({ changes }) => changes.filter((change) => change !== null));
  if (known.length === 0) return 'bass is trusted at one setting only';
  return COVERAGE * Math.max(...known.map(({ sigma }) => sigma)) > HIDDEN_CHANGE_DB
    ? 'the recordings are too noisy: a change of 2 dB could hide in them'
    : null;
}

function loudnessContour(of: {
  series: TapSeries;
  changes: readonly Change[];
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
