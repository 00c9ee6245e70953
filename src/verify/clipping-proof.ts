import { findClipping } from '../findings/clipping/clipping.ts';
import { isNotMeasurable, type Measured } from '../model/measured.ts';
import type { Knob, Proof } from '../model/verification.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** A drive is read to about half a step of the ladder (measured on simulated recordings: 0.1 dB with a fitted curve). */
const DRIVE_TOLERANCE_DB = 0.5;

/**
 * Clipping below the drive that the plan allows: full scale up to the highest clean setting, or the gain overlap below it
 * at the amplifier's output. Where the converter's own recording clips alike, the converter is at fault.
 *
 * @param levelDb measured gain over planned gain, where it is told in volts
 */
export function clippingProof(
  recorded: RecordedFeed,
  of: {
    readonly highestCleanSetting: number | null;
    readonly levelDb: number | null;
    readonly converter: RecordedFeed | null;
  },
): Proof {
  const { planned, node } = recorded;
  const allowedDrive = node === 'amplifier output' ? 0 - (planned.amplifier?.gainOverlapDb ?? 0) : 0;
  const seen = onsets(recorded, of.highestCleanSetting);
  const base = {
    what: 'clipping' as const,
    unit: 'dBFS of drive' as const,
    expected: allowedDrive,
    tolerance: DRIVE_TOLERANCE_DB,
  };
  if (seen === null) {
    return proof({
      ...base,
      verdict: 'not told',
      text: { code: 'clipping needs the full track' },
    });
  }
  const early = seen.filter(({ drive }) => drive.value < allowedDrive - DRIVE_TOLERANCE_DB);
  if (early.length === 0)
    return proof({ ...base, verdict: 'pass', text: { code: 'clean up to the planned drive' } });
  const worst = early.reduce((lowest, one) => (one.drive.value < lowest.drive.value ? one : lowest));
  const converterToo =
    of.converter !== null &&
    (onsets(of.converter, of.highestCleanSetting) ?? []).some(
      ({ setting, toneHz, drive }) =>
        setting === worst.setting &&
        toneHz === worst.toneHz &&
        drive.value < worst.drive.value + DRIVE_TOLERANCE_DB,
    );
  const knob =
    node === 'converter output' || planned.amplifier === null || converterToo
      ? 'converter level'
      : 'amplifier gain';
  const earlyDb = allowedDrive - worst.drive.value;
  return proof({
    ...base,
    verdict: 'fail',
    setting: worst.setting,
    found: worst.drive.value,
    knob,
    text: {
      code: 'clips too early',
      toneHz: worst.toneHz,
      driveDbFs: worst.drive.value,
      setting: worst.setting,
      voltsRms: worst.volts,
      knob,
      earlyDb,
      plannedVolts: plannedVolts(recorded, { knob, worst, earlyDb, levelDb: of.levelDb }),
    },
  });
}

interface Onset {
  readonly setting: number;
  readonly toneHz: number;
  readonly drive: Measured;
  readonly volts: number | null;
}

/** Null where no ladder was recorded. */
function onsets({ series }: RecordedFeed, highestSetting: number | null): Onset[] | null {
  const findings = findClipping(series);
  if (findings.length === 0) return null;
  return findings.flatMap(({ toneHz, perSetting }) =>
    perSetting.flatMap(({ setting, driveDbFs, voltsRms }) =>
      isNotMeasurable(driveDbFs) || (highestSetting !== null && setting > highestSetting)
        ? []
        : [
            {
              setting,
              toneHz,
              drive: driveDbFs,
              volts: isNotMeasurable(voltsRms) ? null : voltsRms.value,
            },
          ],
    ),
  );
}

/** Where neither too much gain nor the converter explains it, supply or load may: the volts that were planned. */
function plannedVolts(
  { planned }: RecordedFeed,
  of: { knob: Knob; worst: Onset; earlyDb: number; levelDb: number | null },
): number | null {
  const byGain = of.levelDb !== null && of.levelDb > of.earlyDb - 2 * DRIVE_TOLERANCE_DB;
  const full = planned.amplifier?.fullOutputVoltsRms ?? null;
  const isWeak = full !== null && of.worst.volts !== null && of.worst.volts < full;
  return of.knob === 'amplifier gain' && !byGain && isWeak ? full : null;
}
