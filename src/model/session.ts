import { z } from 'zod';
import { bayNotes, photoSchema } from './bay-notes.ts';
import { equipmentSchema } from './equipment.ts';
import { reasonSchema } from './reason.ts';

export const sideSchema = z.enum(['left', 'right', 'both', 'unknown']);
export type Side = z.infer<typeof sideSchema>;

/** `microphone` is no output: a phone or microphone left in one place in the car, for screening before anything is opened. */
export const positionSchema = z.enum([
  'front',
  'rear',
  'dash',
  'door',
  'centre',
  'subwoofer',
  'microphone',
  'unknown',
]);
export type Position = z.infer<typeof positionSchema>;

export const loadSchema = z.enum(['speaker', 'resistor', 'nothing', 'unknown']);

/** What comes out: enough for a speaker, or the few volts that an amplifier's line inputs take. */
export const outputLevelSchema = z.enum(['speaker', 'line']);
export type OutputLevel = z.infer<typeof outputLevelSchema>;

/** Across the pair of wires, or from one wire to chassis (a bridged stage then reads half). */
export const connectionSchema = z.enum(['pair', 'one leg']);

/** What a recording behind the converter or the amplifier is held against; what is left out is told from the tap's name. */
export const verifiesSchema = z.object({
  /** Id of a feed of the plan, such as feed-front-left. */
  feed: z.string().optional(),
  node: z.enum(['converter output', 'amplifier output']).optional(),
  /** How the converter stood while recording. */
  restoration: z.enum(['on', 'off']).optional(),
});
export type Verifies = z.infer<typeof verifiesSchema>;

const tapSchema = z
  .object({
    id: z.string(),
    label: z.string(),
    side: sideSchema,
    position: positionSchema,
    load: loadSchema,
    /** Absent where nobody noted it. */
    level: outputLevelSchema.optional(),
    connection: connectionSchema,
    /** Only for recordings made after the install (`steptone verify`). */
    verifies: verifiesSchema.readonly().optional(),
    ...bayNotes,
  })
  .readonly();
export type Tap = z.infer<typeof tapSchema>;

/**
 * `loop`: the recorder recording the player directly. `shorted`: the recorder with its inputs shorted. `noise`: the radio
 * on and nothing loud playing, the engine in a known state. `other source`: the radio, played from something else than
 * the session's source. `seat …`: a microphone at the seat while the track plays through the subwoofer, the mains, both,
 * and both with the subwoofer's polarity turned.
 */
export const recordingKindSchema = z.enum([
  'takes',
  'loop',
  'shorted',
  'noise',
  'other source',
  'seat sub',
  'seat mains',
  'seat both',
  'seat both inverted',
]);
export type RecordingKind = z.infer<typeof recordingKindSchema>;

export function isSeatKind(kind: RecordingKind): boolean {
  return kind.startsWith('seat ');
}

export const engineSchema = z.enum(['off', 'idle', 'fast']);
export type Engine = z.infer<typeof engineSchema>;

/** What one file holds. */
const recordingSchema = z
  .object({
    file: z.string(),
    /** Tap of each channel in order; null where the channel is not used. */
    channels: z.array(z.string().nullable()).readonly(),
    /** Settings of the takes in order; a repeated setting is a repeated take. Empty, or one, for what is no take of the radio's sound. */
    settings: z.array(z.number()).readonly(),
    kind: recordingKindSchema,
    supplyVolts: z.number().nullable(),
    /** Only of noise takes; `rpm` as the dash shows it. */
    engine: engineSchema.optional(),
    rpm: z.number().optional(),
    /** Only of takes from another source than the session's: what played them. */
    source: z.string().optional(),
  })
  .readonly();
export type Recording = z.infer<typeof recordingSchema>;

/**
 * How full-scale units become volts at the tap.
 * `pad`: tap volts = recorder volts x ratio, and the RMS volts of a sine that just reaches full scale at the recorder (AES17).
 * `tone`: a steady tone in a file whose RMS volts at the tap were read on a meter.
 */
const calibrationSchema = z.discriminatedUnion('kind', [
  z
    .object({
      kind: z.literal('pad'),
      padRatio: z.number(),
      fullScaleVoltsRms: z.number(),
      tolerancePercent: z.number(),
    })
    .readonly(),
  z
    .object({
      kind: z.literal('tone'),
      file: z.string(),
      channel: z.number(),
      voltsRms: z.number(),
      tolerancePercent: z.number(),
    })
    .readonly(),
  z.object({ kind: z.literal('none') }).readonly(),
]);
export type Calibration = z.infer<typeof calibrationSchema>;

const supplySchema = z
  .object({
    /** Volts at the radio while recording, engine or charger as stated. */
    volts: z.number().nullable(),
    engineRunning: z.boolean().nullable(),
  })
  .readonly();

/**
 * A session with every default applied: what the pipeline works on. `session-file.ts` holds the form that people write,
 * `resolve-session.ts` the one function that turns the one into the other.
 */
export const sessionSchema = z
  .object({
    name: z.string(),
    taps: z.array(tapSchema).readonly(),
    /** Ascending, each once. */
    settings: z.array(z.number()).readonly(),
    recordings: z.array(recordingSchema).readonly(),
    calibration: calibrationSchema,
    /** The tap that is in every file, so that arrival times compare between files; null where there is none. */
    referenceTapId: z.string().nullable(),
    source: z.string(),
    supply: supplySchema,
    equipment: equipmentSchema.nullable(),
    notes: z.array(reasonSchema).readonly(),
    /** Older files: those of the notes that the tool made. Newer ones give them codes. */
    doubts: z.array(reasonSchema).readonly().optional(),
    /** Of no single tap; absent where there are none. */
    photos: z.array(photoSchema).readonly().optional(),
  })
  .readonly();
export type Session = z.infer<typeof sessionSchema>;
