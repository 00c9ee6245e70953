import { ratioOf } from '../../dsp/decibels.ts';
import { valueAt } from '../../model/frequency-grid.ts';
import { measured, notMeasurable } from '../../model/measured.ts';
import type { Target } from '../../model/recommendation.ts';
import { METER_DRIVES_DB_FS, METER_TONES_HZ, type MeterTone } from '../../tones/meter-tone.ts';

/** Within this of the target a knob is right: 0.4 dB (common practice). */
export const TARGET_TOLERANCE_PERCENT = 5;
/** A reading this much over a limit still counts as at it. */
export const AT_LIMIT_RATIO = 1.005;

interface Readings {
  readonly setting: number;
  /** RMS volts at the node for a full-scale tone, on the frequency grid. */
  readonly voltsOff: Float64Array;
  /** The same with restoration; null where there is none. */
  readonly voltsOn: Float64Array | null;
  /** What the state without it is called: `none` where there is nothing to switch. */
  readonly offIs: 'off' | 'none';
  readonly limitVoltsRms: number;
  readonly loadOhms: number | null;
  readonly setBy: MeterTone;
  /** Drive of a bass tone at which the radio's limiter sets in; null where there is none. */
  readonly limiterDriveDbFs: number | null;
}

/** What a meter reads at a node for each tone and drive; the knob is set with restoration off. */
export function meterTargets({
  setting,
  voltsOff,
  voltsOn,
  offIs,
  limitVoltsRms,
  loadOhms,
  setBy,
  limiterDriveDbFs,
}: Readings): Target[] {
  const states =
    voltsOn === null
      ? [{ restoration: offIs, volts: voltsOff }]
      : [
          { restoration: offIs, volts: voltsOff },
          { restoration: 'on' as const, volts: voltsOn },
        ];
  const isUsual = METER_TONES_HZ.some((hz) => hz === setBy.toneHz);
  return [...(isUsual ? [] : [setBy]), ...USUAL_TONES].flatMap(({ toneHz, driveDbFs }) =>
    states.map(({ restoration, volts }): Target => {
      const value = valueAt(volts, toneHz) * ratioOf(driveDbFs);
      return {
        toneHz,
        driveDbFs,
        setting,
        restoration,
        voltsRms: isHeld({ toneHz, driveDbFs, limiterDriveDbFs })
          ? notMeasurable({ code: 'limiter holds this tone' })
          : measured({ value, plusMinus: (value * TARGET_TOLERANCE_PERCENT) / 100 }),
        watts: loadOhms === null ? null : value ** 2 / loadOhms,
        setBy: restoration !== 'on' && toneHz === setBy.toneHz && driveDbFs === setBy.driveDbFs,
        overLimit: value > limitVoltsRms * AT_LIMIT_RATIO,
      };
    }),
  );
}

const USUAL_TONES: readonly MeterTone[] = METER_TONES_HZ.flatMap((toneHz) =>
  METER_DRIVES_DB_FS.map((driveDbFs) => ({ toneHz, driveDbFs })),
);

/** Limiters act on the bass (common practice: below 150 Hz). */
export const LIMITED_BELOW_HZ = 150;

export function isHeld({
  toneHz,
  driveDbFs,
  limiterDriveDbFs,
}: {
  readonly toneHz: number;
  readonly driveDbFs: number;
  readonly limiterDriveDbFs: number | null;
}): boolean {
  return limiterDriveDbFs !== null && toneHz < LIMITED_BELOW_HZ && driveDbFs > limiterDriveDbFs;
}

/** The drive of the meter file that comes nearest to a gain overlap without passing it. */
export function driveForOverlap(gainOverlapDb: number): number {
  return METER_DRIVES_DB_FS.find((drive) => -drive >= gainOverlapDb - 1e-9) ?? -10;
}
