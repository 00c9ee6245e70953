import type { FindingOf } from '../../model/finding.ts';
import type { Reason } from '../../model/reason.ts';
import { type AgainstPlateau, bassAgainstPlateau } from './against-plateau.ts';
import { notKnown } from './bass-change-base.ts';
import type { BassLevel } from './bass-levels.ts';
import { flatSettings } from './flat-settings.ts';
import { lossAtLeast } from './loss-at-least.ts';
import { withoutOwnLaw } from './own-law.ts';
import { lowestAlike } from './plateau.ts';

type BassChange = FindingOf<'bass-change'>;
type LoudnessContour = FindingOf<'loudness-contour'>;

type WithoutPlateau = Omit<AgainstPlateau, 'plateau'> & { readonly why: Reason };

/**
 * Without a plateau, a tap with a volume law of its own keeps its bass; else a loss is at least what was lost since the lowest
 * settings, or, where a contour lifts those, since the ones that are flat.
 */
export function bassWithoutPlateau(of: WithoutPlateau): (BassChange | LoudnessContour)[] {
  const { series, tapLevels, why } = of;
  const levels = tapLevels.perSetting;
  const straight = tapLevels.referenceTapId === null ? null : withoutOwnLaw(levels);
  if (straight !== null) {
    const ofItself = { ...tapLevels, perSetting: straight };
    return bassAgainstPlateau({ ...of, tapLevels: ofItself, plateau: straight });
  }
  const lowest = lowestAlike(levels) ?? [];
  return (
    atLeastFrom(lowest, of) ??
    atLeastFrom(flatSettings(levels), of) ?? [
      notKnown({
        series,
        reason: why,
        recordNext: settingForPlateau(levels, lowest),
        leftOut: tapLevels.leftOut,
      }),
    ]
  );
}

/** Null where nothing falls against it, or it is no reference. */
function atLeastFrom(
  reference: readonly BassLevel[],
  of: WithoutPlateau,
): (BassChange | LoudnessContour)[] | null {
  if (reference.length === 0) return null;
  const [finding, ...contours] = bassAgainstPlateau({ ...of, plateau: reference });
  if (finding.verdict !== 'falls with volume') return null;
  const all = of.tapLevels.perSetting;
  const levels = all.filter(({ setting }) => setting >= reference[0].setting);
  const atLeast = lossAtLeast({ finding, reference, levels });
  if (atLeast === null) return null;
  const recordNext = settingForPlateau(all, reference) ?? finding.recordNext;
  return [{ ...finding, plateauSettings: [], shape: null, atLeast, recordNext }, ...contours];
}

/**
 * Where a third setting would agree: between ones that do; else beside a reference above a contour, or between any of the lower
 * half, where a plateau lies if there is one.
 */
function settingForPlateau(levels: readonly BassLevel[], alike: readonly BassLevel[]): number | null {
  const from = levels.indexOf(alike[0]);
  const likely =
    from > 0
      ? levels.slice(from - 1, from + alike.length + 1)
      : levels.slice(0, 1 + Math.max(1, levels.length >> 1));
  return middleOfWidestGap(alike) ?? middleOfWidestGap(likely);
}

function middleOfWidestGap(levels: readonly BassLevel[]): number | null {
  const settings = levels.map(({ setting }) => setting);
  const gaps = settings.slice(1).map((setting, i) => ({ from: settings[i], width: setting - settings[i] }));
  const widest = gaps.reduce((best, gap) => (gap.width > best.width ? gap : best), { from: 0, width: 1 });
  return widest.width > 1 ? Math.floor(widest.from + widest.width / 2) : null;
}
