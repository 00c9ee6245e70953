import type { Equipment } from './equipment.ts';

/**
 * A session with every default applied: what the pipeline works on. `session-file.ts` holds the form that people write,
 * `resolve-session.ts` the one function that turns the one into the other.
 */
export interface Session {
  readonly name: string;
  readonly taps: readonly Tap[];
  /** Ascending, each once. */
  readonly settings: readonly number[];
  readonly recordings: readonly Recording[];
  readonly calibration: Calibration;
  /** The tap that is in every file, so that arrival times compare between files; null where there is none. */
  readonly referenceTapId: string | null;
  readonly source: string;
  readonly supply: Supply;
  readonly equipment: Equipment | null;
  readonly notes: readonly string[];
}

export type Side = 'left' | 'right' | 'both' | 'unknown';
export type Position = 'front' | 'rear' | 'dash' | 'door' | 'centre' | 'subwoofer' | 'unknown';
export type Load = 'speaker' | 'resistor' | 'nothing' | 'unknown';
export type Connection = 'pair' | 'one leg';

export interface Tap {
  readonly id: string;
  readonly label: string;
  readonly side: Side;
  readonly position: Position;
  readonly load: Load;
  /** Across the pair of wires, or from one wire to chassis (a bridged stage then reads half). */
  readonly connection: Connection;
}

/** What one file holds. */
export interface Recording {
  readonly file: string;
  /** Tap of each channel in order; null where the channel is not used. */
  readonly channels: readonly (string | null)[];
  /** Settings of the takes in order; a repeated setting is a repeated take. Empty for loop and shorted takes. */
  readonly settings: readonly number[];
  readonly kind: RecordingKind;
  readonly supplyVolts: number | null;
}

/** `loop`: the recorder recording the player directly. `shorted`: the recorder with its inputs shorted. */
export type RecordingKind = 'takes' | 'loop' | 'shorted';

/**
 * How full-scale units become volts at the tap.
 * `pad`: tap volts = recorder volts x ratio, and the RMS volts of a sine that just reaches full scale at the recorder (AES17).
 * `tone`: a steady tone in a file whose RMS volts at the tap were read on a meter.
 */
export type Calibration =
  | { readonly kind: 'pad'; readonly padRatio: number; readonly fullScaleVoltsRms: number; readonly tolerancePercent: number }
  | { readonly kind: 'tone'; readonly file: string; readonly channel: number; readonly voltsRms: number; readonly tolerancePercent: number }
  | { readonly kind: 'none' };

export interface Supply {
  /** Volts at the radio while recording, engine or charger as stated. */
  readonly volts: number | null;
  readonly engineRunning: boolean | null;
}
