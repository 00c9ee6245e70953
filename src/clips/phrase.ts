import { type Random, seededRandom } from '../dsp/random.ts';

/** A slow four-four phrase of 10 s (chosen here; only heard). */
const BEATS_PER_SECOND = 1.6;
const BARS = 4;
const BEATS_IN_A_BAR = 4;
/** Semitones from A1 (55 Hz): our own line, low enough for what a radio takes away. */
const BASS_LINE = [0, 0, 3, -4, 0, 7, 5, 3, -4, -4, 0, 3, 5, 3, 0, -2];
const A1_HZ = 55;
const CHORD_SEMITONES = [24, 27, 31, 36];
const TWO_PI = 2 * Math.PI;

/**
 * Ten seconds of music made of sums: a bass line from 44 to 82 Hz, chords in the mid band that the ear takes as
 * reference, a drum and noise for a rhythm. The same seed gives the same sound.
 *
 * @returns left and right, peak at most 1
 */
export function phrase({
  sampleRateHz,
  seed,
}: {
  sampleRateHz: number;
  seed: number;
}): [Float64Array, Float64Array] {
  const seconds = (BARS * BEATS_IN_A_BAR) / BEATS_PER_SECOND;
  const left = new Float64Array(Math.round(seconds * sampleRateHz));
  const right = new Float64Array(left.length);
  const random = seededRandom(seed);
  const put = (beat: number, lengthSeconds: number, voice: (t: number) => [number, number]) => {
    const start = Math.round((beat / BEATS_PER_SECOND) * sampleRateHz);
    const count = Math.min(left.length - start, Math.round(lengthSeconds * sampleRateHz));
    for (let n = 0; n < count; n++) {
      const [l, r] = voice(n / sampleRateHz);
      left[start + n] += l;
      right[start + n] += r;
    }
  };
  BASS_LINE.forEach((semitones, beat) => {
    put(beat, 0.6, bass(A1_HZ * 2 ** (semitones / 12)));
    if (beat % 2 === 0) put(beat, 0.25, drum());
    else put(beat, 0.2, brush(random));
    put(beat + 0.5, 0.08, brush(random));
    if (beat % BEATS_IN_A_BAR === 0) put(beat, 2.4, chord(A1_HZ * 2 ** (BASS_LINE[beat] / 12)));
  });
  const peak = [left, right].reduce(
    (most, side) => side.reduce((top, value) => Math.max(top, Math.abs(value)), most),
    0,
  );
  return [left.map((value) => value / peak), right.map((value) => value / peak)];
}

type Voice = (t: number) => [number, number];

/** A plucked string: few harmonics, a soft start without a click. */
function bass(hz: number): Voice {
  return (t) => {
    const level = 0.5 * Math.min(1, t / 0.01) * Math.exp(-3 * t);
    const value =
      level * [1, 0.4, 0.15].reduce((sum, part, k) => sum + part * Math.sin(TWO_PI * hz * (k + 1) * t), 0);
    return [value, value];
  };
}

/** A tone that falls from 120 to 50 Hz. */
function drum(): Voice {
  return (t) => {
    const turns = 50 * t + (70 / 25) * (1 - Math.exp(-25 * t));
    const value = 0.45 * Math.min(1, t / 0.003) * Math.exp(-14 * t) * Math.sin(TWO_PI * turns);
    return [value, value];
  };
}

function brush(random: Random): Voice {
  let last = 0;
  return (t) => {
    const noise = random.gaussian();
    const high = noise - last;
    last = noise;
    const value = 0.05 * Math.exp(-30 * t) * high;
    return [0.7 * value, value];
  };
}

function chord(rootHz: number): Voice {
  return (t) => {
    const level = 0.07 * Math.min(1, t / 0.03) * Math.exp(-0.9 * t);
    const parts = CHORD_SEMITONES.map((semitones, k) => {
      const turn = TWO_PI * rootHz * 2 ** (semitones / 12) * t;
      return level * (Math.sin(turn) + 0.3 * Math.sin(3 * turn + k));
    });
    return [parts[0] + parts[1] + 0.5 * parts[2], parts[3] + parts[2] + 0.5 * parts[1]];
  };
}
