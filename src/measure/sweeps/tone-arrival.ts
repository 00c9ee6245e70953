import { ratioOf } from '../../dsp/decibels.ts';
import { type FrequencyResponse, isTrusted, magnitudeAt, magnitudeCurve } from '../../model/response.ts';
import { groupDelaySeconds } from './group-delay.ts';

/** Up to its tenth harmonic the end of a step may come through before the tone itself is over, */
const EARLY_OCTAVES = Math.log2(10);
/** looked at so closely that a low-pass of 48 dB an octave is met on its way down, */
const POINTS_PER_OCTAVE = 6;
/** and down to this against the tone: weaker bands let nothing through that matters. */
const EARLY_BAND_DB = -30;

/**
 * When a tone of the track arrives, against the take's start, or the earliest of the bands above it, so that no window
 * reaches past the end of its step. The last step ends from full scale to nothing, and where that end came early it read as
 * distortion: a steep high-pass holds its own low end 16 ms longer than the rest, and a low-pass of 48 dB an octave near its
 * corner lets the end through 10 ms before the tone's own delay (1.5 % at 55 Hz behind 71 Hz).
 * A tone that noise hides in the sweep still plays on the ladder, with those above it. 0 where the tap carries none of them.
 */
export function toneArrivalSeconds(responses: readonly FrequencyResponse[], toneHz: number): number {
  const carriedAt = (hz: number) => responses.filter((one) => isTrusted(one, hz));
  const curve = magnitudeCurve(responses);
  const least = (magnitudeAt(curve, toneHz) ?? 0) * ratioOf(EARLY_BAND_DB);
  const above = Array.from(
    { length: Math.floor(EARLY_OCTAVES * POINTS_PER_OCTAVE) },
    (_, i) => toneHz * 2 ** ((i + 1) / POINTS_PER_OCTAVE),
  );
  const heard = [toneHz, ...above].filter(
    (hz) => carriedAt(hz).length > 0 && (magnitudeAt(curve, hz) ?? 0) >= least,
  );
  return heard.length === 0 ? 0 : Math.min(...heard.map((hz) => groupDelaySeconds(carriedAt(hz), hz)));
}
