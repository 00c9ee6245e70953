import type { Doubt } from '../../model/doubt.ts';
import type { Session, Tap } from '../../model/session.ts';

export function isMicrophone({ position }: Tap): boolean {
  return position === 'microphone';
}

/** The doubt about screening takes with a phone left in the car: speakers, cabin and microphone are in them. */
export function microphoneDoubts({ taps }: Session): Doubt[] {
  const tapIds = taps.filter(isMicrophone).map(({ id }) => id);
  return tapIds.length === 0
    ? []
    : [{ kind: 'microphone', reason: { code: 'heard by a microphone' }, tapIds, settings: null }];
}
