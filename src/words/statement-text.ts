import type { Statement, TakeToRecord } from '../model/check.ts';
import type { Reason } from '../model/reason.ts';
import { reasonText } from './reason-text.ts';

type TapName = (tapId: string) => string;
const asItIs: TapName = (tapId) => tapId;

/** What is said of taps at settings, as one clause: "front-left at 10, 14: no usable take". */
export function statementText(
  { tapIds, settings, reason, because = null }: Statement,
  name: TapName = asItIs,
): string {
  const about = aboutText({ tapIds, settings }, name);
  return `${about === '' ? '' : `${about}: `}${becauseText(reason, because)}`;
}

/** What to record and why, as one clause. */
export function takeToRecordText(
  { tapIds, settings, why, because }: TakeToRecord,
  name: TapName = asItIs,
): string {
  return statementText({ tapIds, settings, reason: why, because }, name);
}

export function aboutText(
  { tapIds, settings }: { tapIds: readonly string[]; settings: readonly number[] },
  name: TapName = asItIs,
): string {
  const taps = tapIds.map(name).join(', ');
  if (settings.length === 0) return taps;
  return taps === ''
    ? `setting${settings.length === 1 ? '' : 's'} ${settings.join(', ')}`
    : `${taps} at ${settings.join(', ')}`;
}

function becauseText(reason: Reason, because: Reason | null): string {
  return because === null ? reasonText(reason) : `${reasonText(reason)} (${reasonText(because)})`;
}
