import type { Doubt } from '../../model/doubt.ts';
import { middleOf, type OneTap } from './one-tap.ts';

/** One setting off the line between its neighbours by this, and they off theirs the other way (common practice: laws are even). */
const OFF_DB = 2.5;
/** A neighbour of one that is off is off by half of it where settings are even; far less where they are not. */
const NEIGHBOUR_PART = 0.25;
/** Channels of one recorder, and outputs of one volume, move alike. */
const SAME_DB = 0.5;

/**
 * Settings at which every tap is louder or quieter than the settings around it say, though in order: volume that follows speed
 * or engine, a recorder's gain that was turned and turned back. A law that bends does so to one side.
 */
export function unevenLevels(taps: readonly OneTap[]): Doubt[] {
  const [first, ...others] = taps.map(offTheLine);
  if (first === undefined) return [];
  return first.flatMap(({ setting, offDb }): Doubt[] => {
    const isOnAll = others.every((own) =>
      own.some((other) => other.setting === setting && Math.abs(other.offDb - offDb) < SAME_DB),
    );
    return isOnAll
      ? [
          {
            kind: 'setting',
            reason: { code: 'level off the line of its neighbours', settings: [setting], offDb },
            tapIds: taps.map(({ tap }) => tap.id),
            settings: [setting],
          },
        ]
      : [];
  });
}

function offTheLine({ takes }: OneTap): { setting: number; offDb: number }[] {
  const levels = takes
    .map(middleOf)
    .flatMap(({ setting, levelDb }) => (levelDb === null ? [] : [{ setting, levelDb }]));
  const off = levels.slice(1, -1).map(({ setting, levelDb }, i) => {
    const [before, after] = [levels[i], levels[i + 2]];
    const part = (setting - before.setting) / (after.setting - before.setting);
    return { setting, offDb: levelDb - before.levelDb - part * (after.levelDb - before.levelDb) };
  });
  return off.filter(({ offDb }, i) => {
    const neighbours = [off[i - 1], off[i + 1]];
    return (
      Math.abs(offDb) > OFF_DB &&
      neighbours.every(
        (one) => one !== undefined && -Math.sign(offDb) * one.offDb > NEIGHBOUR_PART * Math.abs(offDb),
      )
    );
  });
}
