import type { Finding } from '../../model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason, notMeasurable } from '../../model/measured.ts';
import type { Session, Tap } from '../../model/session.ts';
import { bandWithheld, clippingWithheld } from './withheld.ts';

/** A car is no laboratory: people, windows and a phone that was touched between takes (common practice), 95 %. */
const CABIN_PLUS_MINUS_DB = 0.5;
const REASON =
  'heard by a microphone in the car: speakers, cabin and microphone are in it, and only what changes between settings is the radio’s';

export function isMicrophone({ position }: Tap): boolean {
  return position === 'microphone';
}

/**
 * Findings of a screening take with a phone left in the car. Microphone and cabin cancel in the ratio between settings, so
 * that bass change stays, less certain; volts, band limits, clipping, polarity and timing are withheld by name.
 */
export function withheldFromMicrophones(findings: readonly Finding[], session: Session): Finding[] {
  const heard = new Set(session.taps.filter(isMicrophone).map(({ id }) => id));
  if (heard.size === 0) return [...findings];
  return findings.flatMap((finding): Finding[] =>
    finding.tapIds.some((tapId) => heard.has(tapId)) ? withheld(finding) : [finding],
  );
}

function withheld(finding: Finding): Finding[] {
  const answer = notMeasurable(REASON, 'record at the output itself');
  switch (finding.kind) {
    case 'bass-change':
    case 'loudness-contour':
      return [
        {
          ...finding,
          changes: finding.changes.map((row) => ({ ...row, changeDb: row.changeDb.map(lessCertain) })),
        },
      ];
    case 'bass-limiter':
      return [
        { ...finding, perSetting: finding.perSetting.map((row) => ({ ...row, levelVoltsRms: answer })) },
      ];
    case 'band':
      return [bandWithheld(finding, REASON)];
    case 'timing':
      return [{ ...finding, delaySeconds: answer, polarity: 'ambiguous', reason: REASON }];
    case 'volume-law':
      return [{ ...finding, levels: finding.levels.map((row) => ({ ...row, voltsRms: answer })) }];
    case 'clipping':
      return [clippingWithheld(finding, answer)];
    case 'routing':
    case 'recorder-clipping':
      return [finding];
    // Crossovers, rail, noise and ceiling of what a microphone hears are the car's and the microphone's.
    default:
      return [];
  }
}

function lessCertain(value: MeasuredOrReason): MeasuredOrReason {
  return isNotMeasurable(value)
    ? value
    : { ...value, plusMinus: Math.hypot(value.plusMinus, CABIN_PLUS_MINUS_DB) };
}
