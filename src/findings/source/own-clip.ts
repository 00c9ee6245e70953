import type { MeasuredSource } from '../../measure/other-sources.ts';
import { type Finding, type FindingOf, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { findClipping } from '../clipping/clipping.ts';
import { tapSeries } from '../tap-series.ts';

/** The source clips by itself where it does so this far below what the radio does at that level. */
const CLIPS_EARLIER_DB = 1;

/** The lowest setting at which it clips while the radio at that level does not. */
export function ownClip(of: {
  /** Of the radio, played from its usual source. */
  findings: readonly Finding[];
  other: MeasuredSource;
  /** Of the source against the usual one. */
  levelDb: number;
}): FindingOf<'other-source'>['clip'] {
  const { findings, other, levelDb } = of;
  const { measurements, doubts } = other.measured;
  const series = tapSeries({ session: other.session, measurements, doubts });
  const early = series.flatMap((tap) =>
    findClipping(tap).flatMap(({ toneHz, perSetting }) => {
      const expected = radioClips(findings, { tapId: tap.tap.id, toneHz, levelDb });
      return perSetting.flatMap(({ setting, driveDbFs }) =>
        !isNotMeasurable(driveDbFs) && driveDbFs.value < expected(setting) - CLIPS_EARLIER_DB
          ? [{ setting, driveDbFs: driveDbFs.value }]
          : [],
      );
    }),
  );
  return early.sort((a, b) => a.setting - b.setting || a.driveDbFs - b.driveDbFs)[0] ?? null;
}

/**
 * The lowest drive at which the radio itself may clip at a setting: as it does there, or at the volts at which it does elsewhere;
 * at any where its level is not known at both.
 */
function radioClips(
  findings: readonly Finding[],
  { tapId, toneHz, levelDb }: { tapId: string; toneHz: number; levelDb: number },
): (setting: number) => number {
  const law = findingsOf(findings, 'volume-law').find(({ tapIds }) => tapIds[0] === tapId);
  const levelAt = (setting: number) => law?.levels.find((one) => one.setting === setting)?.levelDbFs;
  const rows = findingsOf(findings, 'clipping')
    .filter((one) => one.toneHz === toneHz && one.tapIds[0] === tapId)
    .flatMap(({ perSetting }) => perSetting)
    .flatMap(({ setting, driveDbFs }) =>
      isNotMeasurable(driveDbFs) ? [] : [{ setting, drive: driveDbFs.value }],
    );
  return (setting) => {
    const there = rows.find((one) => one.setting === setting);
    if (there !== undefined) return there.drive - levelDb;
    const here = levelAt(setting);
    const elsewhere = rows.map((one) => {
      const level = levelAt(one.setting);
      return level === undefined || here === undefined ? Number.NEGATIVE_INFINITY : one.drive + level - here;
    });
    return Math.min(0, ...elsewhere) - levelDb;
  };
}
