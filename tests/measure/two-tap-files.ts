import { seededRandom } from '../../src/dsp/random.ts';
import type { Recording } from '../../src/model/session.ts';
import { tapOf } from '../findings/synthetic.ts';
import { memorySound } from '../memory-sound.ts';

/** Files of two taps, for tests of what measures a recording that is no take of the track. */
export const RATE = 44_100;
export const RMS = 1e-4;
/** Of that noise, against a full-scale sine, and the share of 22.05 kHz between 20 Hz and 20 kHz. */
export const LEVEL_DB_FS = 20 * Math.log10(RMS * Math.SQRT2) + 10 * Math.log10(19_980 / 22_050);
export const TAPS = [tapOf({ id: 'a' }), tapOf({ id: 'b' })];

export function noise(seed: number, seconds: number, rms = RMS): Float32Array {
  const random = seededRandom(seed);
  return Float32Array.from({ length: seconds * RATE }, () => rms * random.gaussian());
}

export function sound(...channels: Float32Array[]) {
  return memorySound({ sampleRateHz: RATE, channels });
}

export function recordingOf(kind: Recording['kind'], file: string, part: Partial<Recording> = {}): Recording {
  return { kind, file, channels: ['a', 'b'], settings: [], ...part } as Recording;
}
