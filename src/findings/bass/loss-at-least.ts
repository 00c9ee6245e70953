import { BASS_FREQUENCIES_HZ, type FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, type Measured } from '../../model/measured.ts';
import type { BassLevel } from './bass-levels.ts';
import { areFlat, isEven } from './flat-settings.ts';

type BassChange = FindingOf<'bass-change'>;
type AtLeast = NonNullable<BassChange['atLeast']>;

/** A loudness contour ends at low or middle settings: bass that still falls by so much at the last step is no end of one. */
const STILL_FALLS_DB = 0.5;
/** Bass that begins so far above the middle may be lifted by a contour, and nobody knows by how much (common practice: 3 dB and more). */
const LIFTED_DB = 3;
/** A single low setting is a reference only where it shows an even response: behind a filter a lift could hide. */
const EVEN_DB = 6;
const FEWEST_ALIKE = 2;
/** More than loudness contours lift (common practice: 6 to 10 dB): two settings are enough then. */
const MORE_THAN_LOUDNESS_DB = 12;

/**
 * What is surely lost between the lowest settings and the loudest where no plateau was recorded; null where it may as well be
 * the end of a loudness contour.
 */
export function lossAtLeast(of: {
  finding: Pick<BassChange, 'changes'>;
  reference: readonly BassLevel[];
  levels: readonly BassLevel[];
}): AtLeast | null {
  const { finding, reference, levels } = of;
  const largest = largestLoss(finding.changes);
  if (largest === null) return null;
  const at = (BASS_FREQUENCIES_HZ as readonly number[]).indexOf(largest.atHz);
  const known = levels.flatMap(({ relative }) => relative[at]?.value ?? []);
  const [first, last, before] = [known[0], known[known.length - 1], known[known.length - 2]];
  const stillFalls = known.length > FEWEST_ALIKE && before - last >= STILL_FALLS_DB;
  const alike = reference.length >= FEWEST_ALIKE;
  const mayBeLifted = first > LIFTED_DB && !(alike && isBelowItsBand(levels));
  const isReference = alike || isEven(reference[0], EVEN_DB);
  // Two settings that are flat are what the radio does when it does nothing.
  const fellFromFlat = alike && areFlat(reference) && largest.lossDb.value >= LIFTED_DB;
  const isMoreThanLoudness = largest.lossDb.value >= MORE_THAN_LOUDNESS_DB;
  return (stillFalls || fellFromFlat || isMoreThanLoudness) && !mayBeLifted && isReference
    ? { fromSetting: reference[0].setting, ...largest }
    : null;
}

/** A middle that stays further below the bass than any contour lifts is the skirt of a low-pass, and shows no lift. */
function isBelowItsBand(levels: readonly BassLevel[]): boolean {
  return levels.every(({ relative }) => (relative.at(-1)?.value ?? 0) > MORE_THAN_LOUDNESS_DB);
}

/** The largest loss of all, and where. */
export function largestLoss(
  changes: BassChange['changes'],
): { toSetting: number; atHz: number; lossDb: Measured } | null {
  const losses = changes.flatMap(({ setting, changeDb }) =>
    changeDb.flatMap((change, i) =>
      isNotMeasurable(change)
        ? []
        : [
            {
              toSetting: setting,
              atHz: BASS_FREQUENCIES_HZ[i],
              lossDb: { value: -change.value, plusMinus: change.plusMinus },
            },
          ],
    ),
  );
  return losses.reduce<(typeof losses)[number] | null>(
    (most, one) => (most === null || one.lossDb.value > most.lossDb.value ? one : most),
    null,
  );
}
