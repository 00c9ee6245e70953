import type { BassLevel, BassLevels } from './bass-levels.ts';

/** Bass that falls by so much at one setting and is back at the next: no radio's volume does so. */
const LONE_DB = 1;
const SIGNIFICANT = 4.5;

/**
 * The levels without settings at which the bass is lower than at both neighbours: a low cut that was on for one take. The others
 * are judged without it.
 */
export function withoutLoneSettings(levels: BassLevels): BassLevels {
  const { perSetting } = levels;
  const lone = perSetting.filter((level, i) =>
    isLone(level, { before: perSetting[i - 1], after: perSetting[i + 1] }),
  );
  if (lone.length === 0) return levels;
  return {
    ...levels,
    perSetting: perSetting.filter((level) => !lone.includes(level)),
    leftOut: [
      ...levels.leftOut,
      ...lone.map(({ setting }) => ({
        setting,
        reason: { code: 'bass lower at one setting only', setting } as const,
      })),
    ].sort((one, other) => one.setting - other.setting),
  };
}

function isLone(
  level: BassLevel,
  { before, after }: { before: BassLevel | undefined; after: BassLevel | undefined },
): boolean {
  if (before === undefined || after === undefined) return false;
  return level.relative.some((own, at) => {
    const neighbours = [before.relative[at], after.relative[at]];
    return (
      own !== null &&
      neighbours.every(
        (other) =>
          other !== null &&
          other.value - own.value > Math.max(LONE_DB, SIGNIFICANT * Math.hypot(own.sigma, other.sigma)),
      )
    );
  });
}
