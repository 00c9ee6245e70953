import type { Sound } from '../audio/sound.ts';
import { decibels } from '../dsp/decibels.ts';
import { modulus } from '../dsp/modulus.ts';
import type { SeatTakes } from '../model/equipment.ts';
import { SteptoneError } from '../model/errors.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { Reason } from '../model/reason.ts';
import { isSeatKind, type RecordingKind, type Session } from '../model/session.ts';
import { findTakes } from '../takes/find-takes.ts';
import type { FileNote } from './measure-session.ts';
import { measureTakeResponses } from './sweeps/take-responses.ts';
import { takeReader } from './take-reader.ts';

/** Where a subwoofer and mains can meet, with an octave on either side. */
const SEAT_BAND_HZ = [30, 250] as const;
/** Every second point of the grid, 24 an octave: a cabin's dips are not missed. */
const EVERY_POINT = 2;
/** A level is believed where it stands 20 dB above the noise beside the response (common practice). */
const TRUSTED_RATIO = 10;

const NEEDED = ['seat sub', 'seat mains', 'seat both'] as const;

/**
 * The microphone takes at the seat: level of programme left and right together, at the frequencies at which all the
 * takes stand clear of the noise. Null where subwoofer, mains and both are not all there; the notes say what is missing.
 */
export function measureSeatTakes({ session, open }: { session: Session; open: (file: string) => Sound }): {
  seat: SeatTakes | null;
  notes: FileNote[];
} {
  const recordings = session.recordings.filter(({ kind }) => isSeatKind(kind));
  const notes: FileNote[] = [];
  const levels = new Map<RecordingKind, (number | null)[]>();
  for (const { file, kind, channels } of recordings) {
    const channel = Math.max(
      0,
      channels.findIndex((name) => name !== null),
    );
    try {
      const level = levelOf(open(file), channel);
      if (level === null) notes.push(leftOut(file, { code: 'no whole track' }));
      else if (!levels.has(kind)) levels.set(kind, level);
      else notes.push(leftOut(file, { code: 'another such take is used', kind }));
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      notes.push(leftOut(file, { code: 'cannot be used', errorCode: error.code, message: error.message }));
    }
  }
  const missing = NEEDED.filter((kind) => !levels.has(kind));
  if (recordings.length > 0 && missing.length > 0)
    notes.push({
      file: recordings[0].file,
      reason: { code: 'seat takes missing', kinds: [...missing] },
      leftOut: false,
    });
  return { seat: missing.length > 0 ? null : together(levels), notes };
}

function leftOut(file: string, reason: Reason): FileNote {
  return { file, reason, leftOut: true };
}

/** Decibels on the grid; null at points that do not stand clear of the noise. */
function levelOf(sound: Sound, channel: number): (number | null)[] | null {
  const [take] = findTakes(sound, [channel]);
  if (take === undefined) return null;
  const [{ left, right }] = measureTakeResponses(takeReader({ sound, take, channels: [channel] })).channels;
  return Array.from(gridFrequencyHz, (_, i) => {
    const magnitude = modulus(left.real[i] + right.real[i], left.imag[i] + right.imag[i]);
    const noise = modulus(left.sigma[i], right.sigma[i]);
    return magnitude > TRUSTED_RATIO * noise ? decibels(magnitude) : null;
  });
}

function together(levels: ReadonlyMap<RecordingKind, readonly (number | null)[]>): SeatTakes | null {
  const places = Array.from(gridFrequencyHz, (_, i) => i).filter(
    (i) =>
      i % EVERY_POINT === 0 &&
      gridFrequencyHz[i] >= SEAT_BAND_HZ[0] &&
      gridFrequencyHz[i] <= SEAT_BAND_HZ[1] &&
      NEEDED.every((kind) => levels.get(kind)![i] !== null),
  );
  if (places.length === 0) return null;
  const at = (kind: RecordingKind) => places.map((i) => levels.get(kind)![i]!);
  const inverted = levels.get('seat both inverted');
  return {
    frequencyHz: places.map((i) => gridFrequencyHz[i]),
    subwooferDb: at('seat sub'),
    mainsDb: at('seat mains'),
    bothDb: at('seat both'),
    // Where the inverted sum is all but a null, its own level is noise: what the other three make of it stands there.
    ...(inverted !== undefined && places.every((i) => inverted[i] !== null)
      ? { bothSubwooferInvertedDb: at('seat both inverted') }
      : {}),
  };
}
