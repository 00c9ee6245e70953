import { describe, expect, it } from 'vitest';
import { renderTrack, TRACK_RATES_HZ } from '../../src/tones/render-track.ts';
import {
  fullTrack,
  type LadderSection,
  ladderStepStartSeconds,
  responseTrack,
  type Track,
} from '../../src/tones/track.ts';

/** One step of 16 bits: rounding and triangular dither move a sample by less than one and a half. */
const STEP = 2 ** -15;

const rendered = TRACK_RATES_HZ.flatMap((rateHz) =>
  [fullTrack, responseTrack].map((track) => ({
    name: `${track.name} at ${rateHz} Hz`,
    track,
    rateHz,
    ...renderTrack(track, rateHz),
  })),
);

describe.each(rendered)('the track, $name', ({ track, rateHz, left, right }) => {
  const slice = (samples: Float32Array, from: number, to: number) =>
    samples.subarray(Math.ceil(from * rateHz), Math.floor(to * rateHz));

  it('lasts as long as it says, at most 45 s in full and under 20 s for responses only', () => {
    expect([left.length, right.length]).toEqual(new Array(2).fill(track.durationSeconds * rateHz));
    expect(track.durationSeconds).toBeLessThanOrEqual(track.name === 'full' ? 45 : 19.999);
  });

  it('has sixteen-bit samples that never reach full scale', () => {
    for (const samples of [left, right]) {
      expect(samples.every((value) => Number.isInteger(value / STEP))).toBe(true);
      expect(peak(samples)).toBeLessThanOrEqual(1 - STEP);
    }
    if (track.name === 'full') expect(peak(left)).toBeGreaterThan(1 - 3 * STEP);
  });

  it('holds each section between its times and only dither between sections', () => {
    const spans = track.sections.map((s) => [s.startSeconds, s.startSeconds + s.durationSeconds]);
    expect(spans.at(-1)?.[1]).toBeCloseTo(track.durationSeconds, 9);
    for (let i = 1; i < spans.length; i++) {
      expect(spans[i][0]).toBeGreaterThanOrEqual(spans[i - 1][1] - 1e-9);
      for (const samples of [left, right]) {
        expect(peak(slice(samples, spans[i - 1][1], spans[i][0]))).toBeLessThanOrEqual(STEP);
      }
    }
  });

  it('is true zero in its silence and nowhere else', () => {
    const silence = track.sections.find((section) => section.kind === 'silence');
    const start = silence?.startSeconds ?? Number.NaN;
    for (const samples of [left, right]) {
      expect(peak(slice(samples, start, track.durationSeconds))).toBe(0);
      // The gap before it is dithered: half of its samples are not zero.
      const gap = slice(samples, start - 0.2, start - 0.1);
      expect(gap.some((value) => value !== 0)).toBe(true);
    }
  });

  it('keeps the sides apart: the left sweep leaves only dither on the right, and the other way round', () => {
    for (const section of track.sections) {
      if (section.kind !== 'sweep' || section.programme === 'both') continue;
      const [on, off] = section.programme === 'left' ? [left, right] : [right, left];
      const [from, to] = [section.startSeconds, section.startSeconds + section.durationSeconds];
      expect(peak(slice(off, from, to))).toBeLessThanOrEqual(STEP);
      expect(20 * Math.log10(peak(slice(on, from, to)))).toBeCloseTo(section.driveDbFs, 2);
    }
  });

  it('crosses zero in the sweeps when the closed form does', () => {
    // Farina (AES 108th Convention, 2000): phase 2 pi f1 L (exp(t / L) - 1), so rising zero n at t = L ln(1 + n / (f1 L)).
    for (const section of track.sections) {
      if (section.kind !== 'sweep') continue;
      const { startHz, endHz, durationSeconds } = section.sweep;
      const rate = durationSeconds / Math.log(endHz / startHz);
      const samples = section.programme === 'right' ? right : left;
      for (let cycle = Math.round(60 * rate); cycle < 1200 * rate; cycle += 7) {
        const expected = section.startSeconds + rate * Math.log1p(cycle / (startHz * rate));
        const frequencyHz = startHz * Math.exp((expected - section.startSeconds) / rate);
        // A step's worth of dither against the slope at the crossing, and a straight line in place of the sine's arc.
        const slope = 2 * Math.PI * frequencyHz * 10 ** (section.driveDbFs / 20);
        expect(Math.abs(risingZeroNear(samples, expected, rateHz) - expected)).toBeLessThan(
          (1.5 * STEP) / slope + 2e-7,
        );
      }
    }
  });
});

describe('the ladders', () => {
  const { left, right } =
    rendered.find(({ track, rateHz }) => track === fullTrack && rateHz === 48_000) ?? rendered[0];
  const ladders = fullTrack.sections.filter((section): section is LadderSection => section.kind === 'ladder');

  it.each(ladders)(
    'of $toneHz Hz step through their drives, RMS against a full-scale sine (AES17)',
    (ladder) => {
      ladder.driveDbFs.forEach((driveDbFs, step) => {
        const cycles = ladder.cyclesPerStep;
        const start = ladderStepStartSeconds(ladder, step) + (cycles - ladder.cyclesUsed) / ladder.toneHz;
        for (const samples of [left, right]) {
          const levelDbFs = toneLevelDbFs(samples, {
            startSeconds: start,
            seconds: ladder.cyclesUsed / ladder.toneHz,
            toneHz: ladder.toneHz,
          });
          expect(Math.abs(levelDbFs - driveDbFs)).toBeLessThan(0.01);
        }
      });
    },
  );

  it('end at full scale for bass and middle, 3 dB below it for the tone that tweeters get', () => {
    expect(ladders.map((ladder) => [ladder.toneHz, ladder.driveDbFs.at(-1)])).toEqual([
      [55, 0],
      [997, 0],
      [6007, -3],
    ]);
  });

  it('keep the bass harmonics 5 Hz or more from mains lines up to the ninth (the tenth is 550 Hz, 11 times 50)', () => {
    for (let harmonic = 1; harmonic <= 9; harmonic++) {
      for (const mainsHz of [50, 60]) {
        const remainder = (55 * harmonic) % mainsHz;
        expect(Math.min(remainder, mainsHz - remainder)).toBeGreaterThanOrEqual(5);
      }
    }
  });
});

describe('the quiet parts', () => {
  const { left, right } =
    rendered.find(({ track, rateHz }) => track === fullTrack && rateHz === 48_000) ?? rendered[0];
  const [quiet, leadIn] = ['quiet tone', 'lead-in'].map(
    (id) => fullTrack.sections.find((section) => section.id === id)!,
  );

  it('hold 55, 997 and 6007 Hz at -60 and, in the lead-in, at -40 dBFS each', () => {
    for (const toneHz of [55, 997, 6007]) {
      const inside = { seconds: 0.8, toneHz };
      expect(toneLevelDbFs(left, { startSeconds: quiet.startSeconds + 1, ...inside })).toBeCloseTo(-60, 1);
      expect(toneLevelDbFs(left, { startSeconds: leadIn.startSeconds + 0.25, ...inside })).toBeCloseTo(
        -40,
        1,
      );
    }
  });

  it('carry dither of -93.3 dBFS, the two sides independent', () => {
    // A quarter of a squared step (Lipshitz et al., JAES 40(5), 1992): 20 log10(2^-16 sqrt 2) = -93.32 dB.
    const gap = (track: Track, samples: Float32Array) => {
      const before = track.sections.find((section) => section.id === 'sweep right')!;
      const from = (before.startSeconds + before.durationSeconds) * 48_000;
      return samples.subarray(from, from + 0.7 * 48_000);
    };
    const [l, r] = [gap(fullTrack, left), gap(fullTrack, right)];
    for (const samples of [l, r]) expect(rmsDbFs(samples)).toBeCloseTo(-93.32, 0);
    const correlation =
      l.reduce((sum, value, i) => sum + value * r[i], 0) / Math.sqrt(power(l) * power(r)) / l.length;
    expect(Math.abs(correlation)).toBeLessThan(4 / Math.sqrt(l.length));
  });
});

describe('renderTrack', () => {
  it('makes the same samples every time', () => {
    const again = renderTrack(responseTrack, 44_100);
    const before = rendered.find(({ track, rateHz }) => track === responseTrack && rateHz === 44_100);
    expect(Buffer.compare(Buffer.from(again.left.buffer), Buffer.from(before!.left.buffer))).toBe(0);
  });
});

function peak(samples: Float32Array): number {
  let most = 0;
  for (const value of samples) most = Math.max(most, Math.abs(value));
  return most;
}

function power(samples: Float32Array): number {
  let sum = 0;
  for (const value of samples) sum += value * value;
  return sum / samples.length;
}

function rmsDbFs(samples: Float32Array): number {
  return 10 * Math.log10(2 * power(samples));
}

/** Level of one tone by projection on sine and cosine; 0 dBFS is a sine that just reaches full scale (AES17). */
function toneLevelDbFs(
  samples: Float32Array,
  at: { startSeconds: number; seconds: number; toneHz: number },
): number {
  const rateHz = 48_000;
  const first = Math.ceil(at.startSeconds * rateHz - 1e-6);
  const count = Math.round(at.seconds * rateHz);
  let [ss, cc, sc, xs, xc] = [0, 0, 0, 0, 0];
  for (let i = first; i < first + count; i++) {
    const phase = (2 * Math.PI * at.toneHz * i) / rateHz;
    const [sine, cosine] = [Math.sin(phase), Math.cos(phase)];
    ss += sine * sine;
    cc += cosine * cosine;
    sc += sine * cosine;
    xs += samples[i] * sine;
    xc += samples[i] * cosine;
  }
  const determinant = ss * cc - sc * sc;
  return 20 * Math.log10(Math.hypot((xs * cc - xc * sc) / determinant, (xc * ss - xs * sc) / determinant));
}

/** Seconds, by a straight line between the samples around the crossing. */
function risingZeroNear(samples: Float32Array, seconds: number, rateHz: number): number {
  let i = Math.round(seconds * rateHz) - 3;
  while (!(samples[i] < 0 && samples[i + 1] >= 0) && i < seconds * rateHz + 3) i++;
  return (i + samples[i] / (samples[i] - samples[i + 1])) / rateHz;
}
