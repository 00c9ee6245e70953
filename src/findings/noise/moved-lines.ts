interface Line {
  readonly frequencyHz: number;
  readonly levelDbFs: number;
}

/** Two lines that moved by the same ratio agree within this: an engine wanders while it is recorded. */
const RATIO_TOLERANCE = 0.015;
/** A tachometer in a dash is read to about this (common practice). */
const TACHOMETER_TOLERANCE = 0.08;
/** Fast over idle where no speed was noted. */
const POSSIBLE_RATIO = [1.3, 7] as const;

/**
 * The lines at idle that have a partner at the higher speed, all by one ratio, and those partners: they belong to the
 * engine. Null where one of the two was not recorded, or no ratio fits most of the lines of either.
 */
export function movedLines<Of extends Line>({
  idle,
  fast,
}: {
  readonly idle: { readonly lines: readonly Of[]; readonly rpm: number | null };
  readonly fast: { readonly lines: readonly Of[]; readonly rpm: number | null };
}): { ratio: number; pairs: readonly { slow: Of; quick: Of }[] } | null {
  const range = ratioRange(idle.rpm, fast.rpm);
  const ratios = idle.lines
    .flatMap((slow) => fast.lines.map((quick) => quick.frequencyHz / slow.frequencyHz))
    .filter((ratio) => ratio >= range[0] && ratio <= range[1]);
  let best: { ratio: number; pairs: { slow: Of; quick: Of }[] } = { ratio: 1, pairs: [] };
  for (const ratio of ratios) {
    const pairs = pairsAt(ratio);
    if (pairs.length > best.pairs.length) best = { ratio, pairs };
  }
  // One pair alone is a chance between many lines, but not between few.
  const few = Math.max(1, Math.min(idle.lines.length, fast.lines.length) / 2);
  return best.pairs.length < few ? null : best;

  function pairsAt(ratio: number): { slow: Of; quick: Of }[] {
    return idle.lines.flatMap((slow) => {
      const quick = fast.lines.find(
        ({ frequencyHz }) => Math.abs(frequencyHz / (slow.frequencyHz * ratio) - 1) < RATIO_TOLERANCE,
      );
      return quick === undefined ? [] : [{ slow, quick }];
    });
  }
}

function ratioRange(idleRpm: number | null, fastRpm: number | null): readonly [number, number] {
  if (idleRpm === null || fastRpm === null) return POSSIBLE_RATIO;
  const ratio = fastRpm / idleRpm;
  return [ratio * (1 - TACHOMETER_TOLERANCE), ratio * (1 + TACHOMETER_TOLERANCE)];
}
