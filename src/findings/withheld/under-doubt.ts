import { cleanWithMusic } from '../../model/clipping-findings.ts';
import { type Doubt, touches } from '../../model/doubt.ts';
import type { Finding, FindingOf } from '../../model/finding.ts';
import { notMeasurable } from '../../model/measured.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import type { ReasonCode } from '../../model/reason.ts';
import { steadyOnlySoFar } from '../bass/steady-so-far.ts';
import { leftOf, restsOn } from './what-a-doubt-takes.ts';

/** What helps against some doubts; the reason itself says what to do about the others. */
const NEXT_STEP: Partial<Record<Doubt['kind'], ReasonCode>> = {
  gain: 'record without automatic gain',
  microphone: 'record at the output itself',
  'low end': 'record a loop take',
};

/**
 * The findings under what is in doubt. A doubt that touches all takes of a tap takes from each of its findings what the table
 * says; one that touches some of them has left those out already, and is told beside what the others say.
 */
export function underDoubt(
  findings: readonly Finding[],
  { doubts, measurements }: { doubts: readonly Doubt[]; measurements: readonly TapMeasurement[] },
): Finding[] {
  return doubts.reduce<Finding[]>(
    (left, doubt) =>
      left.flatMap((finding) => {
        const tapIds = finding.tapIds.filter((id) => doubt.tapIds.includes(id));
        if (tapIds.length === 0 || !restsOn(finding.kind, doubt.kind)) return [finding];
        const told = { ...finding, doubts: [...(finding.doubts ?? []), doubt] };
        if (!tapIds.some((id) => touchesAll(doubt, { tapId: id, doubts, measurements })))
          return [narrowed(told, doubt)];
        const nextStep = NEXT_STEP[doubt.kind];
        const because = notMeasurable(
          doubt.reason,
          nextStep === undefined ? undefined : ({ code: nextStep } as Doubt['reason']),
        );
        return leftOf(told, { kind: doubt.kind, because }) ?? [];
      }),
    [...findings],
  );
}

/** Whether a doubt, with others of its kind, leaves no take of a tap that is sure (`tapSeries` keeps all of them then). */
function touchesAll(
  doubt: Doubt,
  of: { tapId: string; doubts: readonly Doubt[]; measurements: readonly TapMeasurement[] },
): boolean {
  const touchedBy = (kind: Doubt['kind']) => (one: TapMeasurement) =>
    of.doubts.some((other) => other.kind === kind && touches(other, one));
  const own = of.measurements.filter(({ tapId }) => tapId === of.tapId);
  const sure = doubt.kind === 'setting' ? own.filter((one) => !touchedBy('take')(one)) : own;
  return (sure.length === 0 ? own : sure).every(touchedBy(doubt.kind));
}

/** A take that nobody read, or that is in doubt, is none that said no. */
function narrowed(finding: Finding, { kind, settings }: Doubt): Finding {
  if (kind !== 'take' && kind !== 'setting') return finding;
  if (finding.kind === 'bass-change') return steadyOnlySoFar(finding, settings ?? []);
  return finding.kind === 'clean-settings' ? cleanOnlySoFar(finding, settings ?? []) : finding;
}

function cleanOnlySoFar(
  finding: FindingOf<'clean-settings'>,
  openSettings: readonly number[],
): FindingOf<'clean-settings'> {
  const { firstClippingRecorded, notKnown } = finding;
  const clean = cleanWithMusic(finding);
  const open = openSettings.filter(
    (setting) =>
      setting > (clean ?? Number.NEGATIVE_INFINITY) &&
      setting < (firstClippingRecorded ?? Number.POSITIVE_INFINITY),
  );
  if (open.length === 0) return finding;
  const settings = [...new Set([...(notKnown?.settings ?? []), ...open])].sort((a, b) => a - b);
  return { ...finding, notKnown: { settings, because: notKnown?.because ?? 'in doubt' } };
}
