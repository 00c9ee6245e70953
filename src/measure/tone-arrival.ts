import { type FrequencyResponse, isWithin, magnitudeAt, magnitudeCurve } from '../model/response.ts';
import { groupDelaySeconds } from './group-delay.ts';

/** Harmonics at which the end of a step may come through before the tone itself is over. */
const EARLY_HARMONICS = 10;
/** A harmonic band this much weaker than the tone lets nothing through that matters. */
const EARLY_BAND_DB = -20;

/**
 * When a tone of the track arrives, against the take's start, or the earliest of its harmonics' bands, so that no window
 * reaches past the end of its step: a steep high-pass holds its own low end 16 ms longer than the rest, and the end of the
 * last step, full scale to nothing, came through it as distortion. 0 where the tap does not carry the tone.
 */
export function toneArrivalSeconds(responses: readonly FrequencyResponse[], toneHz: number): number {
  const carriedAt = (hz: number) =>
    responses.filter(({ trustedHz }) => trustedHz !== null && isWithin(trustedHz, hz));
  if (carriedAt(toneHz).length === 0) return 0;
  const curve = magnitudeCurve(responses);
  const tone = magnitudeAt(curve, toneHz) ?? 0;
  const heard = Array.from({ length: EARLY_HARMONICS }, (_, i) => (i + 1) * toneHz).filter(
    (hz) =>
      hz === toneHz ||
      (carriedAt(hz).length > 0 && (magnitudeAt(curve, hz) ?? 0) > tone * 10 ** (EARLY_BAND_DB / 20)),
  );
  return Math.min(...heard.map((hz) => groupDelaySeconds(carriedAt(hz), hz)));
}
