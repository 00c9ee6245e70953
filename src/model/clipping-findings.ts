import { z } from 'zod';
import { findingBase } from './finding-base.ts';
import { measuredOrReasonSchema, measuredSchema } from './measured-schema.ts';
import { reasonSchema } from './reason.ts';

const base = findingBase;
const setting = z.number();

export const clippingSchema = z.object({
  ...base,
  kind: z.literal('clipping'),
  toneHz: z.number(),
  perSetting: z.array(
    z.object({
      setting,
      /** Drive at which distortion reaches 1 %, and the RMS volts of the tone there. */
      driveDbFs: measuredOrReasonSchema,
      voltsRms: measuredOrReasonSchema,
    }),
  ),
  place: z.enum(['before the volume control', 'after the volume control', 'cannot be told', 'none seen']),
  highestHarmonic: z.number(),
  /** True where the recorder's own input may be what clips, just below its full scale, and nothing recorded tells. */
  mayBeRecorder: z.boolean().optional(),
});

/** How far the volume may go at a tap, whatever its tones clip at. */
export const cleanSettingsSchema = z.object({
  ...base,
  kind: z.literal('clean-settings'),
  /** Settings at which a tone was played. */
  settings: z.array(setting),
  /** Highest recorded setting that is clean at 0 dBFS at the tap's most boosted frequency, and the first that is not. */
  highestCleanRecorded: setting.nullable(),
  firstClippingRecorded: setting.nullable(),
  /** Settings of which neither is known: noise hides it, or the most boosted frequency is louder there than any tone played. */
  notKnown: z
    .object({
      settings: z.array(setting),
      because: z.enum(['noise', 'no tone was as loud', 'no tone was as low', 'in doubt']),
    })
    .optional(),
  /**
   * Where no tone clipped up to a setting above `highestCleanRecorded`, and only a frequency that music leaves well below full
   * scale would come out louder there than the loudest tone: that setting, that frequency, and by how much.
   */
  asLoudAsPlayed: z.object({ setting, atHz: z.number(), louderByDb: z.number() }).optional(),
  /** The same worked out between recorded settings from the volume law; null where it cannot be. */
  highestCleanComputed: setting.nullable(),
  mostBoostedHz: z.number(),
  /** Tones at which 'clean' was tried. */
  triedHz: z.array(z.number()).optional(),
});

/** Up to where music is clean: every tone was, and nothing louder than them is played in earnest. Null where no setting is known. */
export function cleanWithMusic({
  highestCleanRecorded,
  asLoudAsPlayed,
}: Pick<z.infer<typeof cleanSettingsSchema>, 'highestCleanRecorded' | 'asLoudAsPlayed'>): number | null {
  return asLoudAsPlayed?.setting ?? highestCleanRecorded;
}

/**
 * The setting to record between the last that is clean and the first that clips: the highest that should be clean by the
 * volume law, else the middle. Null where none lies between, or nothing above the clean one should be clean.
 */
export function settingBetween(of: {
  readonly clean: number;
  readonly clips: number;
  readonly computed: number | null;
}): number | null {
  const between = Math.floor(of.computed ?? (of.clean + of.clips) / 2);
  return between > of.clean && between < of.clips ? between : null;
}

export const recorderClippingSchema = z.object({
  ...base,
  kind: z.literal('recorder-clipping'),
  settings: z.array(setting),
});

export const railSchema = z.object({
  ...base,
  kind: z.literal('rail'),
  clipVoltsPeak: measuredSchema,
  expectedVoltsPeak: z.tuple([z.number(), z.number()]),
  verdict: z.enum(['as the supply allows', 'half of it', 'far below', 'above the supply', 'not told']),
  question: reasonSchema.nullable(),
});
