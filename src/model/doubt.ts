import { z } from 'zod';
import { reasonSchema } from './reason.ts';

/**
 * What of the takes a doubt touches:
 * `take` nothing measured in them can be used (samples lost, cut off, listed and not read, another signal);
 * `setting` they are good, but not surely at the setting that the notes give (two exchanged, a level that fits no neighbour);
 * `gain` the gain followed the level by itself; `microphone` they were heard in the air;
 * `arrival` they are good, when they arrive against other taps is not;
 * `volts` the recording is good, its volts are not; `low end` the recorder's own coupling may be in the bass;
 * `limit` the recorder's own input may be what clips.
 */
export const DOUBT_KINDS = [
  'take',
  'setting',
  'gain',
  'microphone',
  'arrival',
  'volts',
  'low end',
  'limit',
] as const;

/** Something that keeps takes from saying what they seem to say: it reaches every finding that rests on them. */
export const doubtSchema = z.object({
  kind: z.enum(DOUBT_KINDS),
  reason: reasonSchema,
  tapIds: z.array(z.string()),
  /** Null for every setting of these taps. */
  settings: z.array(z.number()).nullable(),
});
export type Doubt = z.infer<typeof doubtSchema>;
export type DoubtKind = Doubt['kind'];

export function touches(doubt: Doubt, of: { tapId: string; setting: number }): boolean {
  return doubt.tapIds.includes(of.tapId) && (doubt.settings === null || doubt.settings.includes(of.setting));
}
