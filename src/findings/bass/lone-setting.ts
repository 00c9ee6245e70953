import type { BassLevel, BassLevels } from './bass-levels.ts';
import { SIGNIFICANT } from './level-profile.ts';

/** Bass that falls by so much at one setting and is back at the next: no radio's volume does so. */
const LONE_DB = 1;
/** Neighbours that are further apart than this, and not far less than the lone one stands out: either was moved. */
const APART_DB = 0.5;
const FAR_OUT = 2;

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
  const unsure = perSetting.flatMap((level, i) => {
    const odd = lone.find((one) => one === level) ?? lone.find((one) => isFromThereUp(perSetting, one, i));
    return odd === undefined ? [] : [{ level, odd }];
  });
  return {
    ...levels,
    perSetting: perSetting.filter((level) => !unsure.some((one) => one.level === level)),
    leftOut: [
      ...levels.leftOut,
      ...unsure.map(({ level: { setting }, odd }) => ({
        setting,
        reason: { code: 'bass lower at one setting only', setting: odd.setting } as const,
      })),
    ].sort((one, other) => one.setting - other.setting),
  };
}

/** Whether a setting lies above a lone one whose neighbours differ, where it stands out most: then it may be the upper one that was moved. */
function isFromThereUp(perSetting: readonly BassLevel[], lone: BassLevel, i: number): boolean {
  const at = perSetting.indexOf(lone);
  const [before, after] = [perSetting[at - 1], perSetting[at + 1]];
  const [most] = lone.relative
    .flatMap((own, hz) => {
      const [one, other] = [before.relative[hz], after.relative[hz]];
      if (own === null || one === null || other === null) return [];
      return [
        {
          outDb: Math.min(one.value, other.value) - own.value,
          apartDb: Math.abs(other.value - one.value),
        },
      ];
    })
    .sort((one, other) => other.outDb - one.outDb);
  return i > at && most.apartDb > APART_DB && most.outDb < FAR_OUT * most.apartDb;
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
