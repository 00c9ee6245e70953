import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { gridSpan } from '../../model/frequency-grid.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import { findingsAbout, type PlanContext } from '../plan-context.ts';
import type { HighestClean } from './highest-clean-setting.ts';
import { ownMiddleDb, tapLevelDb } from './tap-level.ts';

/** Where a subwoofer plays. */
const SUBWOOFER_HZ = [30, 70] as const;
/** Bass this far under the rest at every setting is filtered away: restoration ends at 12 dB (common practice). */
const NO_BASS_DB = -12;

/** Why no gain may rest on this source at all; empty where one may. */
export function withoutCleanSetting(context: PlanContext, clean: HighestClean): Reason[] {
  if (clean.recorded !== null) return [];
  const before = clipsBeforeVolume(context);
  if (before !== null) return [{ code: 'clips before the volume control', driveDbFs: before }];
  // Below the lowest that clips there may be settings of which nobody knows.
  const lowest = Math.min(...context.measurements.map(({ setting }) => setting));
  if (clean.firstClippingRecorded === null || clean.firstClippingRecorded > lowest)
    return [{ code: 'no clean setting known' }];
  return [{ code: 'no setting is clean', settings: [...context.session.settings] }];
}

/** One drive at several settings: a step of the volume control is at least twice this (common practice). */
const SAME_DRIVE_DB = 0.2;

/**
 * The lowest drive at which a stage ahead of the volume control reaches 1 %; null where none does. Such a stage clips at one
 * drive whatever the volume: at the lowest settings, where the power stage does not clip yet, the drives agree.
 */
export function clipsBeforeVolume({ findings }: PlanContext): number | null {
  const drives = findingsOf(findings, 'clipping').flatMap(({ perSetting }) => {
    const told = perSetting
      .toSorted((a, b) => a.setting - b.setting)
      .flatMap(({ driveDbFs }) => figureOf(driveDbFs));
    const [lowest, next] = told;
    return next !== undefined && Math.abs(lowest - next) <= SAME_DRIVE_DB ? [Math.min(lowest, next)] : [];
  });
  return drives.length === 0 ? null : Math.min(...drives);
}

/** Why no subwoofer gain may rest on these outputs: no bass on any of them, or nobody can say what happens to it. */
export function withoutBass(context: PlanContext, tapIds: readonly string[]): Reason[] {
  const fromHz = bassBeginsAt(context);
  if (fromHz !== null) return [{ code: 'no bass at any output', fromHz }];
  const notJudged = findingsAbout(context, 'bass-change', tapIds).filter(
    ({ verdict }) => verdict === 'cannot be told',
  );
  return notJudged.length === 0 ? [] : [{ code: 'bass not judged', tapIds: [...tapIds] }];
}

/** Where the deepest output begins if even that one carries no bass; null where one does. */
export function bassBeginsAt(context: PlanContext): number | null {
  const outputs = context.taps.filter(({ unfit }) => !unfit);
  if (outputs.length === 0) return null;
  const carries = outputs.some(({ tapId, output }) => output === 'subwoofer' || hasBass(context, tapId));
  if (carries) return null;
  const edges = outputs.flatMap(({ band }) => figureOf(band?.lowEdge?.minus3Hz));
  return edges.length === 0 ? null : Math.min(...edges);
}

/** Whether an output plays bass next to its middle, at any setting. */
export function hasBass(context: PlanContext, tapId: string): boolean {
  const { first, last } = gridSpan(SUBWOOFER_HZ);
  return context.measurements
    .filter((measurement) => measurement.tapId === tapId)
    .some((measurement) => {
      const middleDb = ownMiddleDb(context, measurement);
      return tapLevelDb(measurement)
        .subarray(first, last + 1)
        .some((db) => db - middleDb > NO_BASS_DB);
    });
}

function figureOf(answer: FindingOf<'clipping'>['perSetting'][number]['driveDbFs'] | undefined): number[] {
  return answer === undefined || isNotMeasurable(answer) ? [] : [answer.value];
}
