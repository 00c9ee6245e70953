import { describe, expect, it } from 'vitest';
import { SECTION_LEAD_SECONDS } from '../../../src/dsp/sweep-response.ts';
import {
  announcementsInNoise,
  announcementsInSweep,
  comesAgain,
} from '../../../src/measure/disturbances/find-announcements.ts';
import { undisturbedStretch } from '../../../src/measure/sweeps/undisturbed-stretch.ts';
import { fullTrack, type SectionId, sectionOf } from '../../../src/tones/track.ts';
import { fakeSweep } from '../fake-sweep.ts';

const RATE = 1000;
/** The sweep is 20 dBFS below full scale throughout, what is beside it 80 dB: every figure here is against that. */
const SWEEP = 0.1;
const NOISE = 1e-5;
const [OPENING, CLOSING] = (['sweep left', 'closing left'] as const).map(
  (id: SectionId) => sectionOf(fullTrack, 'sweep', id)!,
);

interface Sound {
  /** In the section. */
  readonly fromSeconds: number;
  readonly seconds: number;
  /** Against the sweep. */
  readonly db: number;
}

/** Alternating samples: every frame has just the energy that is meant. */
function wave(length: number, sounds: readonly Sound[], quiet: number): Float64Array {
  const amplitude = new Float64Array(length).fill(quiet);
  for (const { fromSeconds, seconds, db } of sounds)
    amplitude.fill(
      SWEEP * 10 ** (db / 20),
      Math.round(fromSeconds * RATE),
      Math.round((fromSeconds + seconds) * RATE),
    );
  return amplitude.map((value, n) => (n % 2 === 0 ? value : -value));
}
const sweepWith = (sounds: readonly Sound[], section = OPENING) =>
  fakeSweep({
    section,
    sampleRateHz: RATE,
    residual: (length) => wave(length, sounds, NOISE),
    recorded: (length) => Float32Array.from(wave(length, [], SWEEP)),
  });
const found = (own: readonly Sound[], others: readonly Sound[][] = [[]]) => {
  const { clear, faint } = announcementsInSweep(
    sweepWith(own),
    0,
    others.map((sounds) => sweepWith(sounds)),
  );
  const spans = (runs: readonly { from: number; to: number }[]) =>
    runs.map(({ from, to }) => [from / RATE, to / RATE]);
  return { clear: spans(clear), faint: spans(faint) };
};
const chime = (part: Partial<Sound> = {}): Sound => ({ fromSeconds: 3, seconds: 0.5, db: -20, ...part });
const NONE = { clear: [], faint: [] };

describe('a sound beside a sweep', () => {
  it('is told from 25 dB below the sweep on, counts as doubt down to 50 dB, and is nothing below.', () => {
    expect(found([chime()])).toEqual({ clear: [[3, 3.5]], faint: [] });
    expect(found([chime({ db: -24.9 })]).clear).toHaveLength(1);
    expect(found([chime({ db: -25.1 })])).toEqual({ clear: [], faint: [[3, 3.5]] });
    expect(found([chime({ db: -49.9 })]).faint).toHaveLength(1);
    expect(found([chime({ db: -50.1 })])).toEqual(NONE);
  });

  it('lasts longer than 0.3 s, with pauses of up to 0.3 s, and is loud for four tenths of it.', () => {
    expect(found([chime({ seconds: 0.3 })])).toEqual(NONE);
    expect(found([chime({ seconds: 0.31 })]).clear).toEqual([[3, 3.31]]);
    const words = (pause: number, seconds = 0.25) => [
      chime({ seconds }),
      chime({ fromSeconds: 3 + seconds + pause, seconds }),
    ];
    expect(found(words(0.3)).clear).toEqual([[3, 3.8]]);
    expect(found(words(0.31))).toEqual(NONE);
    // Two words of 0.1 s in 0.48 s are loud for 0.417 of it, in 0.52 s for 0.385.
    expect(found(words(0.28, 0.1)).clear).toEqual([[3, 3.48]]);
    expect(found(words(0.29, 0.08))).toEqual(NONE);
  });

  it('does not last by a faint tail: what lies 25 dB below its peak does not count.', () => {
    const tail = (db: number) =>
      found([chime({ seconds: 0.1 }), chime({ fromSeconds: 3.1, seconds: 0.4, db })]);
    expect(tail(-44).faint).toEqual([[3, 3.5]]);
    expect(tail(-46)).toEqual(NONE);
  });

  it('brings its faint parts with it, and two that do not touch stay two.', () => {
    expect(found([chime(), chime({ fromSeconds: 3.5, seconds: 0.4, db: -30 })]).clear).toEqual([[3, 3.9]]);
    expect(found([chime(), chime({ fromSeconds: 4.5, db: -30 })])).toEqual({
      clear: [[3, 3.5]],
      faint: [[4.5, 5]],
    });
  });

  it('is the radio’s where the other sweep has it at the same frequency, within 10 dB and 30 ms.', () => {
    expect(found([chime()], [[chime({ db: -29.9 })]])).toEqual(NONE);
    expect(found([chime()], [[chime({ db: -30.1 })]]).clear).toHaveLength(1);
    expect(found([chime()], [[], [chime()]])).toEqual(NONE);
    const late = (seconds: number) => found([chime()], [[chime({ fromSeconds: 3 + seconds })]]).clear;
    expect(late(0.03)).toEqual([]);
    expect(late(0.35)).toEqual([[3, 3.32]]);
  });

  it('is held against the moment at which a shorter sweep passes the same frequencies.', () => {
    const passes = (seconds: number, durationSeconds: number) =>
      SECTION_LEAD_SECONDS + ((seconds - SECTION_LEAD_SECONDS) / 6) * durationSeconds;
    const again = sweepWith([{ fromSeconds: passes(3, 1.5), seconds: 0.5 / 4, db: -20 }], CLOSING);
    expect(announcementsInSweep(sweepWith([chime()]), 0, [again]).clear).toEqual([]);
    const early = sweepWith([{ fromSeconds: passes(3, 1.5) - 0.2, seconds: 0.5 / 4, db: -20 }], CLOSING);
    expect(announcementsInSweep(sweepWith([chime()]), 0, [early]).clear).toHaveLength(1);
  });

  it('does not count below 25 Hz, and has to stand 12 dB out of the noise.', () => {
    // 6 s from 10 Hz to 20 kHz: 25 Hz after 6 ln 2.5 / ln 2000 = 0.723 s.
    const low = SECTION_LEAD_SECONDS + (6 * Math.log(2.5)) / Math.log(2000);
    expect(found([chime({ fromSeconds: 0.3, seconds: low - 0.31 })])).toEqual(NONE);
    expect(found([chime({ fromSeconds: 0.3, seconds: low + 0.2 })]).clear[0][0]).toBeCloseTo(low, 1);
    const inNoise = (noiseDb: number) =>
      found(
        [chime({ fromSeconds: 0, seconds: 7, db: noiseDb }), chime()],
        [[chime({ fromSeconds: 0, seconds: 7, db: noiseDb })]],
      ).clear;
    expect(inNoise(-32.1)).toHaveLength(1);
    expect(inNoise(-31.9)).toEqual([]);
  });
});

describe('a burst that comes again', () => {
  const burst = { from: 3 * RATE, to: 3.05 * RATE };
  const again = (fromSeconds: number, db: number, section = OPENING) =>
    comesAgain(sweepWith([chime({ seconds: 0.05 })]), 0, {
      burst,
      others: [sweepWith([{ fromSeconds, seconds: 0.02, db }], section)],
    });

  it('is as strong within 10 dB where another sweep passes the same frequencies.', () => {
    expect([again(3.02, -29.9), again(3.02, -30.1)]).toEqual([true, false]);
    expect([again(2.96, -20), again(3.07, -20)]).toEqual([true, true]);
    expect([again(2.9, -20), again(3.2, -20)]).toEqual([false, false]);
  });

  it('comes four times as fast in a closing sweep.', () => {
    const at = SECTION_LEAD_SECONDS + (3 - SECTION_LEAD_SECONDS) / 4;
    expect([again(at, -20, CLOSING), again(at + 0.1, -20, CLOSING)]).toEqual([true, false]);
  });
});

describe('a sound in steady noise', () => {
  const heard = (sounds: readonly Sound[]) =>
    announcementsInNoise(wave(4 * RATE, sounds, NOISE), RATE).map(({ from, to }) => [from / RATE, to / RATE]);
  const quiet = { db: -60 };

  it('lasts, stands 12 dB out, and begins within, at once.', () => {
    expect(heard([chime({ ...quiet, fromSeconds: 1 })])).toEqual([[1, 1.5]]);
    expect(heard([chime({ db: -68.1, fromSeconds: 1 })])).toEqual([]);
    expect(heard([chime({ db: -67.9, fromSeconds: 1 })])).toHaveLength(1);
    expect(heard([chime({ ...quiet, fromSeconds: 0 })])).toEqual([]);
    expect(heard([chime({ ...quiet, fromSeconds: 0.02 })])).toEqual([]);
    expect(heard([chime({ ...quiet, fromSeconds: 0.03 })])).toHaveLength(1);
    const creeping = (db: number) =>
      heard([chime({ fromSeconds: 0.9, seconds: 0.1, db }), chime({ ...quiet, fromSeconds: 1 })]);
    expect([creeping(-73.9), creeping(-74.1)].map(({ length }) => length)).toEqual([0, 1]);
  });

  it('is looked for beside steady tones, which are taken out first.', () => {
    const knocked = wave(4 * RATE, [chime({ fromSeconds: 1, seconds: 0.05, db: -40 })], NOISE);
    const samples = Float32Array.from(
      knocked,
      (value, n) => value + 0.05 * Math.sin((2 * Math.PI * 97 * n) / RATE),
    );
    const at = (tonesHz: readonly number[]) =>
      undisturbedStretch(samples, { sampleRateHz: RATE, tonesHz }).knocksAt;
    expect(at([97])).toEqual([1000]);
    expect(at([])).toEqual([]);
  });

  it('leaves the longest stretch before, between or after; knocks are told by their place.', () => {
    const stretch = (sounds: readonly Sound[]) => {
      const samples = Float32Array.from(wave(4 * RATE, sounds, NOISE));
      return undisturbedStretch(samples, { sampleRateHz: RATE, tonesHz: [] });
    };
    expect(stretch([])).toEqual({ from: 0, to: 4000, knocksAt: [], announcements: [] });
    const knock = (fromSeconds: number) => chime({ fromSeconds, seconds: 0.05, db: -40 });
    expect(stretch([knock(1)])).toMatchObject({ from: 1050, to: 4000, knocksAt: [1000] });
    expect(stretch([knock(3)])).toMatchObject({ from: 0, to: 3000, knocksAt: [3000] });
    expect(stretch([knock(3), knock(1)])).toMatchObject({ from: 1050, to: 3000, knocksAt: [1000, 3000] });
    expect(stretch([chime({ fromSeconds: 1, seconds: 1, db: -40 })])).toMatchObject({
      from: 2000,
      to: 4000,
      knocksAt: [],
      announcements: [{ from: 1000, to: 2000 }],
    });
  });
});
