import { meanSquare } from '../dsp/statistics.ts';
import type { SimulatedTap } from './simulated-tap.ts';

type Announcement = SimulatedTap['announcements'][number];

/** A chime swells and fades within this. */
const CHIME_EDGE_SECONDS = 0.01;
const CHIME_HZ = [620, 880] as const;
/** A man's voice that falls towards the end of a sentence, syllables of a quarter of a second (textbook values, from memory). */
const PITCH_HZ = [130, 95] as const;
const SYLLABLE_SECONDS = 0.25;
const VOICED_PART = 0.8;
/** Resonances of the mouth: their frequencies in turn for each syllable, and how wide they are. */
const VOWELS_HZ = [
  [700, 1220],
  [310, 2020],
  [500, 1000],
  [450, 1700],
] as const;
/** Of formants and of a telephone’s band (from memory; only simulated). */
const VOWEL_WIDTH_HZ = 120;
const HIGHEST_VOICE_HZ = 3800;

/**
 * Chimes and voice prompts that the radio plays into what is recorded, at their own level whatever the volume.
 *
 * @param volts at the tap, changed in place
 */
export function addAnnouncements(
  volts: Float64Array,
  {
    announcements,
    file,
    sampleRateHz,
  }: { announcements: readonly Announcement[]; file: string; sampleRateHz: number },
): void {
  for (const one of announcements) {
    if (one.file !== undefined && one.file !== file) continue;
    const start = Math.round(one.atSeconds * sampleRateHz);
    const count = Math.min(volts.length - start, Math.round(one.durationSeconds * sampleRateHz));
    const sound = one.kind === 'chime' ? chime(count, one, sampleRateHz) : voice(count, one, sampleRateHz);
    const gain = one.voltsRms / Math.sqrt(meanSquare(sound));
    for (let n = 0; n < count; n++) volts[start + n] += gain * sound[n];
  }
}

/** Two tones at once. */
function chime(count: number, { durationSeconds }: Announcement, sampleRateHz: number): Float64Array {
  return Float64Array.from({ length: count }, (_, n) => {
    const t = n / sampleRateHz;
    const edge = Math.min(1, t / CHIME_EDGE_SECONDS, (durationSeconds - t) / CHIME_EDGE_SECONDS);
    return edge * CHIME_HZ.reduce((sum, hz) => sum + Math.sin(2 * Math.PI * hz * t), 0);
  });
}

/** Harmonics of a falling pitch through two resonances that change with every syllable. */
function voice(count: number, { durationSeconds }: Announcement, sampleRateHz: number): Float64Array {
  const sound = new Float64Array(count);
  let turns = 0;
  for (let n = 0; n < count; n++) {
    const t = n / sampleRateHz;
    const pitchHz = PITCH_HZ[0] + ((PITCH_HZ[1] - PITCH_HZ[0]) * t) / durationSeconds;
    turns += pitchHz / sampleRateHz;
    const syllable = Math.floor(t / SYLLABLE_SECONDS);
    const within = t / SYLLABLE_SECONDS - syllable;
    if (within > VOICED_PART) continue;
    const vowel = VOWELS_HZ[syllable % VOWELS_HZ.length];
    let sum = 0;
    for (let k = 1; k * pitchHz < HIGHEST_VOICE_HZ; k++)
      sum += (voweled(k * pitchHz, vowel) / k) * Math.sin(2 * Math.PI * k * turns);
    sound[n] = Math.sin((Math.PI * within) / VOICED_PART) ** 2 * sum;
  }
  return sound;
}

function voweled(hz: number, resonancesHz: readonly number[]): number {
  return resonancesHz.reduce((sum, centre) => sum + 1 / (1 + ((hz - centre) / VOWEL_WIDTH_HZ) ** 2), 0.05);
}
