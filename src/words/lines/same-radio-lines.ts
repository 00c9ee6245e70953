import { isNotMeasurable } from '../../model/measured.ts';
import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';

interface RadioCompared {
  readonly same: boolean;
  readonly levelDb: number | null;
  readonly shapeDb: number;
  readonly atHz: number;
  readonly tapId: string;
  readonly setting: number;
  readonly withinDb: number;
}

/** The outcome in a line. */
export function confirmedLine(compared: RadioCompared): string {
  const { same, levelDb, shapeDb, atHz, tapId, setting, withinDb } = compared;
  const level = levelDb === null ? 'level not compared (no volts)' : `level ${levelDb.toFixed(1)} dB`;
  const found = `${tapId} at setting ${setting}: ${level}, shape at most ${shapeDb.toFixed(1)} dB at ${atHz.toFixed(0)} Hz`;
  if (same) return `The radio is the same within ${withinDb} dB (${found}).`;
  const next =
    Math.abs(shapeDb) <= withinDb
      ? `Only the level differs. Was the volume at ${setting} (if not, use --setting)? Is it the same pad?`
      : 'Check source, tone, fade and pad. If they are as they were, record and analyse again.';
  return `The radio is not the same within ${withinDb} dB (${found}). ${next}`;
}

/** What to read before a plan of saved results is followed. */
export function confirmLines({ recommendations }: Results): string[] {
  return recommendationsOf(recommendations, 'confirm').map(
    ({ tapId, setting, toneHz, voltsRms, withinDb }) => {
      const reading = isNotMeasurable(voltsRms)
        ? 'the level of the old recording'
        : `${voltsRms.value.toFixed(2)} V`;
      return `First check that the radio is the same: ${tapId} at setting ${setting}, ${toneHz} Hz at 0 dBFS, ${reading} within ${withinDb} dB.`;
    },
  );
}
