import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../src/dsp/random.ts';
import { findKnocks } from '../../../src/measure/disturbances/find-knocks.ts';
import { gainChangeDb, withUnsteadyGain } from '../../../src/measure/disturbances/gain-change.ts';
import { mutedUpToHz, withoutMuted } from '../../../src/measure/disturbances/muted-start.ts';
import { withSameTakes } from '../../../src/measure/disturbances/same-takes.ts';
import { recorderWatch } from '../../../src/measure/recorder/recorder-state.ts';
import { isSameSignal } from '../../../src/measure/same-channel.ts';
import { delayBetween, movedEarlier } from '../../../src/measure/sweeps/delay-between.ts';
import { filledIn } from '../../../src/measure/sweeps/filled-in.ts';
import { medianDb, strongerMedianDb } from '../../../src/measure/sweeps/median-level.ts';
import { frequencyResponse } from '../../../src/measure/sweeps/trusted-band.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { exactResponse } from '../exact-response.ts';
import { channelFacts, takeFacts } from '../facts.ts';

const N = gridFrequencyHz.length;
/** Real, with the given magnitude and noise at each frequency. */
const swept = (magnitude: (hz: number) => number, sigma: number | ((hz: number) => number) = 1e-4) => ({
  real: gridFrequencyHz.map(magnitude),
  imag: new Float64Array(N),
  sigma: gridFrequencyHz.map((hz) => (typeof sigma === 'number' ? sigma : sigma(hz))),
});
const isNear = (hz: number, wanted: number) => Math.abs(Math.log2(hz / wanted)) < 0.03;

describe('where a response is trusted', () => {
  const trusted = (magnitude: (hz: number) => number, sigma?: (hz: number) => number) =>
    frequencyResponse(swept(magnitude, sigma)).trustedHz;

  it('stands 20 dB above its noise, from 12 Hz to 19.5 kHz.', () => {
    // 20 dB over a noise whose two parts have one standard deviation each: 14.14 of it.
    expect(
      trusted(
        () => 14.2,
        () => 1,
      )!.map(Math.round),
    ).toEqual([12, 19_387]);
    expect(
      trusted(
        () => 14.1,
        () => 1,
      ),
    ).toBeNull();
    const [low, high] = trusted(
      (hz) => (hz > 100 && hz < 5000 ? 1 : 1e-3),
      () => 0.01,
    )!;
    expect(isNear(low, 100) && isNear(high, 5000)).toBe(true);
  });

  it('is the widest stretch; a null of a quarter of an octave does not end it.', () => {
    const withNull = (toHz: number) =>
      trusted(
        (hz) => (hz > 1000 && hz < toHz ? 1e-3 : 1),
        () => 0.01,
      )!;
    expect(isNear(withNull(1150)[0], 12)).toBe(true);
    expect(isNear(withNull(1150)[1], 19_500)).toBe(true);
    expect(withNull(1300)[1]).toBeLessThan(1001);
  });

  it('is the wider of two, wherever the other lies.', () => {
    const both = (firstToHz: number) =>
      trusted(
        (hz) => ((hz > 100 && hz < firstToHz) || (hz > 800 && hz < 4000) ? 1 : 1e-3),
        () => 0.01,
      )!;
    // 800 Hz to 4 kHz are 2.3 octaves, 100 to 400 Hz two, 100 to 550 Hz 2.5.
    expect(isNear(both(400)[0], 800) && isNear(both(400)[1], 4000)).toBe(true);
    expect(isNear(both(550)[0], 100) && isNear(both(550)[1], 550)).toBe(true);
  });

  it('of digital zero, or of no numbers, is nowhere.', () => {
    expect(trusted(() => 0)).toBeNull();
    expect(frequencyResponse(swept(() => 1e-13, 0)).real[100]).toBe(0);
    expect(frequencyResponse(swept(() => 1, Number.NaN)).sigma[100]).toBe(1e-12);
  });

  it('has the median of its magnitude there for its level, the stronger programme’s for a take.', () => {
    const response = frequencyResponse(swept((hz) => (hz < 100 ? 0.9 : hz < 5000 ? 0.1 : 0.02), 1e-5));
    expect(medianDb(response)).toBeCloseTo(-20, 6);
    const half = frequencyResponse(swept(() => 0.5, 1e-5));
    expect(strongerMedianDb({ left: response, right: half })).toBeCloseTo(-6.0206, 4);
    const nothing = frequencyResponse(swept(() => 0));
    expect(medianDb(nothing)).toBeNull();
    expect(strongerMedianDb({ left: nothing, right: half })).toBeCloseTo(-6.0206, 4);
    expect(strongerMedianDb({ left: nothing, right: nothing })).toBeNull();
  });
});

describe('a delay between two takes of one output', () => {
  it.each([0.0004, -0.0004, 0.031])(
    'of %d s is read from all phases together, and taken out again.',
    (seconds) => {
      const [earlier, later] = [
        exactResponse({ seed: 1 }),
        exactResponse({ delaySeconds: seconds, seed: 2, gain: 0.9 }),
      ];
      expect(delayBetween({ earlier, later })!.value).toBeCloseTo(seconds, 8);
      const back = movedEarlier(later, seconds);
      expect(back.real[300]).toBeCloseTo(0.9, 3);
      expect(back.imag[300]).toBeCloseTo(0, 3);
    },
  );

  // Cramer and Rao: 1 over the root of the sum of (2 pi f)^2 / (1/SNR^2 + 1/SNR^2); twice that, since neighbours of a swept
  // response share their noise, and those of a formula do not.
  it('is as sure as the noise of both lets it be.', () => {
    const of = (seed: number, earlierSigma: number, laterSigma: number) =>
      delayBetween({
        earlier: exactResponse({ seed, sigma: earlierSigma }),
        later: exactResponse({ seed: seed + 100, sigma: laterSigma, delaySeconds: 1e-4 }),
      })!;
    for (const [one, other] of [
      [0.01, 0.001],
      [0.001, 0.01],
    ]) {
      const found = Array.from({ length: 16 }, (_, seed) => of(seed, one, other));
      const turns = gridFrequencyHz.reduce((sum, hz) => sum + (2 * Math.PI * hz) ** 2, 0);
      const bound = Math.sqrt((one ** 2 + other ** 2) / turns);
      expect(found[0].sigma / (2 * bound)).toBeCloseTo(1, 1);
      const spread = Math.sqrt(found.reduce((sum, { value }) => sum + (value - 1e-4) ** 2, 0) / found.length);
      // 16 values know their spread to 18 %.
      expect(spread / bound).toBeGreaterThan(0.5);
      expect(spread / bound).toBeLessThan(1.6);
    }
  });

  it('is not read where they share nothing clear of the noise.', () => {
    expect(
      delayBetween({ earlier: exactResponse({}), later: exactResponse({ gain: 0, sigma: 0.1 }) }),
    ).toBeNull();
  });
});

describe('a sweep that an announcement covered', () => {
  it('is filled in there from the closing one, and is a little less sure of it.', () => {
    const [opening, closing] = [swept(() => 1, 0.001), swept(() => 2, 0.002)];
    const filled = filledIn(opening, closing, [{ spoiltHz: [100, 200] }]);
    const at = (hz: number) => gridFrequencyHz.findIndex((one) => one >= hz);
    expect([filled.real[at(90)], filled.real[at(150)], filled.real[at(210)]]).toEqual([1, 2, 1]);
    expect(filled.sigma[at(90)]).toBe(0.001);
    // 0.02 dB of 2.
    expect(filled.sigma[at(150)]).toBeCloseTo(Math.hypot(0.002, (2 * 0.02) / 8.686), 6);
  });
});

describe('gain that changes between opening and closing sweep', () => {
  it('is the ratio of the two in decibels, louder closings positive.', () => {
    const change = gainChangeDb({ opening: swept(() => 1), closing: swept(() => 10 ** (1 / 20)) });
    expect(change!.value).toBeCloseTo(1, 6);
    expect(change!.plusMinus).toBeGreaterThanOrEqual(0.04);
    expect(change!.plusMinus).toBeLessThan(0.05);
    expect(gainChangeDb({ opening: swept(() => 1), closing: swept(() => 0.5) })!.value).toBeCloseTo(
      -6.0206,
      4,
    );
  });

  it('is read in the middle, whatever a limiter does to the bass, and not at all in noise.', () => {
    expect(
      gainChangeDb({ opening: swept(() => 1), closing: swept((hz) => (hz < 200 ? 0.3 : 1)) })!.value,
    ).toBeCloseTo(0, 9);
    // Also where most of the rest moves, and the middle is a little noisier than all of it.
    const moved = (hz: number) => (hz < 290 || hz > 3100 ? 0.3 : 1);
    const middle = (noise: number) => (hz: number) => (hz < 290 || hz > 3100 ? 0.0005 : noise);
    const read = (noise: number) =>
      gainChangeDb({ opening: swept(() => 1, middle(noise)), closing: swept(moved, middle(noise)) })!.value;
    expect(read(0.03)).toBeCloseTo(0, 9);
    expect(gainChangeDb({ opening: swept(() => 1, 0.06), closing: swept(() => 1, 0.06) })).toBeNull();
    expect(gainChangeDb({ opening: swept(() => 1, 0.04), closing: swept(() => 1, 0.3) })).toBeNull();
    expect(gainChangeDb({ opening: swept(() => 1, 0.04), closing: swept(() => 1, 0.1) })).not.toBeNull();
  });

  it('is read from eight points on that stand clear.', () => {
    const few = (count: number) => {
      const carried = swept((hz) => (hz >= 1000 && hz < 1000 * 10 ** ((count - 0.5) / 160) ? 1 : 1e-6));
      return gainChangeDb({
        opening: carried,
        closing: { ...carried, real: carried.real.map((re) => 2 * re) },
      });
    };
    expect(few(7)).toBeNull();
    expect(few(8)?.value).toBeCloseTo(6.0206, 4);
  });

  it('makes the response no surer than half of it, once it stands 4.5 standard deviations clear.', () => {
    const response = swept(() => 1, 1e-6);
    const sigma = (value: number) => withUnsteadyGain(response, { value, plusMinus: 0.1 }).sigma[100];
    expect(sigma(0.22)).toBe(1e-6);
    expect(sigma(0.24)).toBeCloseTo(0.24 / 8.686 / 2, 5);
    expect(sigma(-0.24)).toBeCloseTo(0.24 / 8.686 / 2, 5);
    expect(withUnsteadyGain(response, null)).toBe(response);
  });
});

describe('an output that is muted when the sweep begins', () => {
  const muted = (lackDb: (hz: number) => number, lacksLeadIn = false) =>
    mutedUpToHz({
      opening: swept((hz) => 10 ** (-lackDb(hz) / 20)),
      closing: swept(() => 1),
      lacksLeadIn: () => lacksLeadIn,
    });

  it('lacks 20 dB and more up to where it opens.', () => {
    expect(isNear(muted((hz) => (hz < 40 ? 40 : 0))!, 40)).toBe(true);
    expect(muted((hz) => (hz < 25 ? 19 : 0))).toBeNull();
    expect(isNear(muted((hz) => (hz < 25 ? 21 : 0))!, 25)).toBe(true);
    expect(muted(() => 0)).toBeNull();
    expect(muted(() => 40)).toBeNull();
  });

  it('or fades in over an octave and a half, less and less.', () => {
    const fade = (toHz: number) => (hz: number) => Math.max(0, 15 * Math.log2(toHz / hz) * 0.3);
    expect(muted(fade(60))).not.toBeNull();
    expect(muted((hz) => (hz < 20 ? 10 : hz < 60 ? 12 : 0))).toBeNull();
    expect(muted((hz) => (hz < 14 ? 6 : 0))).toBeNull();
    // With the lead-in missing too, a short one is told.
    expect(muted((hz) => (hz < 14 ? 6 : 0), true)).not.toBeNull();
  });

  it('is not told by what noise hides, nor by a lead-in that lacks alone.', () => {
    const hidden = (fromHz: number, toHz: number, lackDb: number) =>
      mutedUpToHz({
        opening: swept((hz) => (hz < 14 ? 10 ** (-lackDb / 20) : 1)),
        closing: swept(
          () => 1,
          (hz) => (hz > fromHz && hz < toHz ? 1 : 1e-4),
        ),
        lacksLeadIn: () => true,
      });
    expect(isNear(hidden(1, 2, 6)!, 14)).toBe(true);
    expect(isNear(hidden(1, 10.2, 6)!, 14)).toBe(true);
    // The second and third point of the grid.
    expect(hidden(10.1, 10.5, 6)).toBeNull();
    expect(hidden(1, 2, 0.4)).toBeNull();
  });

  it('has what was muted marked as not read.', () => {
    const marked = withoutMuted(
      swept(() => 1, 0.001),
      40,
    );
    expect([marked.sigma[0], marked.sigma[N - 1]]).toEqual([1, 0.001]);
  });
});

const noise = (seed: number, count: number, rms = 0.01) => {
  const random = seededRandom(seed);
  return Float64Array.from({ length: count }, () => rms * random.gaussian());
};

describe('knocks', () => {
  const RATE = 8000;
  const struck = (seconds: number, factor: number) => {
    const samples = noise(3, 2 * RATE);
    for (let n = RATE; n < RATE + seconds * RATE; n++) samples[n] *= factor;
    return findKnocks(samples, RATE).map(({ from, to }) => [from / RATE, to / RATE]);
  };

  it('stand 12 dB out of what is around them, for less than a third of a second.', () => {
    expect(struck(0.05, 1)).toEqual([]);
    const [knock, ...others] = struck(0.05, 8);
    expect(others).toEqual([]);
    expect(knock[0]).toBeCloseTo(1, 1);
    expect(knock[1]).toBeCloseTo(1.05, 1);
    // A factor of 2.5 is 8 dB.
    expect(struck(0.05, 2.5)).toEqual([]);
    expect(struck(0.4, 8)).toEqual([]);
  });

  // Samples of one size, in turn positive and negative: every frame of 10 ms holds the same, but for the factors given.
  const frames = (factors: Readonly<Record<number, number>>, count = 200) => {
    const samples = Float64Array.from(
      { length: count * 80 },
      (_, n) => (n % 2 ? -0.01 : 0.01) * (factors[Math.floor(n / 80)] ?? 1),
    );
    return findKnocks(samples, RATE).map(({ from, to }) => [from / 80, to / 80]);
  };
  const loud = (from: number, to: number, factor = 8) =>
    Object.fromEntries(Array.from({ length: to - from }, (_, i) => [from + i, factor]));

  it('begin and end with their frames, 12 dB over the median; what hangs on by 4 dB belongs to them.', () => {
    expect(frames(loud(100, 105))).toEqual([[100, 105]]);
    expect([frames(loud(100, 105, 4)), frames(loud(100, 105, 3.9))]).toEqual([[[100, 105]], []]);
    expect(frames({ ...loud(100, 105), 98: 1.6, 99: 1.7, 105: 1.6, 106: 1.5 })).toEqual([[98, 106]]);
    expect(frames({ ...loud(100, 105), 99: 1.5 })).toEqual([[100, 105]]);
    expect(frames({ ...loud(0, 5), ...loud(195, 200) })).toEqual([
      [0, 5],
      [195, 200],
    ]);
    // 0.3 s stand out of the 0.61 s around them, and no more.
    expect([frames(loud(100, 130)), frames(loud(100, 131))]).toEqual([[[100, 130]], []]);
  });

  it('are one where less than 60 ms lie between, and two beyond.', () => {
    expect(frames({ ...loud(100, 102), ...loud(107, 109) })).toEqual([[100, 109]]);
    expect(frames({ ...loud(100, 102), ...loud(108, 110) })).toEqual([
      [100, 102],
      [108, 110],
    ]);
  });

  it('are held against what was recorded: digital zeros around them do not count.', () => {
    const zeros = (from: number, to: number) => loud(from, to, 0);
    expect(frames({ ...zeros(0, 95), ...loud(100, 105) })).toEqual([[100, 105]]);
    expect(frames({ ...zeros(0, 100), ...zeros(105, 200), ...loud(100, 105, 8) })).toEqual([]);
  });

  it('that ring are one; digital silence is none.', () => {
    const samples = noise(3, 2 * RATE);
    for (const at of [1, 1.06]) for (let n = at * RATE; n < (at + 0.03) * RATE; n++) samples[n] *= 10;
    expect(findKnocks(samples, RATE)).toHaveLength(1);
    expect(findKnocks(new Float64Array(2 * RATE), RATE)).toEqual([]);
  });
});

describe('two channels', () => {
  const floats = (values: Float64Array) => Float32Array.from(values);

  it('hold one signal where their hiss is one, at any gain and sign, whatever hums in both.', () => {
    const [a, b] = [noise(1, 4000), noise(2, 4000)];
    const hum = Float64Array.from({ length: 4000 }, (_, n) => Math.sin((2 * Math.PI * 50 * n) / 48_000));
    expect(isSameSignal(floats(a), floats(a.map((value) => -0.3 * value)))).toBe(true);
    expect(isSameSignal(floats(a), floats(b))).toBe(false);
    expect(isSameSignal(floats(a.map((v, n) => v + hum[n])), floats(b.map((v, n) => v + hum[n])))).toBe(
      false,
    );
    // Equal parts of each other's noise correlate by 0.71.
    expect(isSameSignal(floats(a), floats(a.map((v, n) => v + b[n])))).toBe(false);
    expect(isSameSignal(floats(a), floats(a.map((v, n) => v + 0.2 * b[n])))).toBe(true);
    expect(isSameSignal(new Float32Array(4000), new Float32Array(4000))).toBe(false);
    // What is left of it in digital silence is none.
    const traces = floats(a.map((value) => 1e-8 * value));
    expect([isSameSignal(floats(a), traces), isSameSignal(traces, floats(a))]).toEqual([false, false]);
  });

  it('of two takes are one where they read alike to the last digit, for want of hiss.', () => {
    const take = (file: string, levelDbFs: number) => ({
      facts: takeFacts({ file, channels: [channelFacts({ levelDbFs })] }),
      print: null,
    });
    const found = withSameTakes([take('a', -20), take('b', -20), take('c', -20.0001)]);
    expect(found.map(({ sameAs }) => sameAs?.file)).toEqual([undefined, 'a', undefined]);
    const two = {
      ...take('d', -20),
      facts: takeFacts({ file: 'd', channels: [channelFacts(), channelFacts()] }),
    };
    expect(withSameTakes([take('a', -20), two])[1].sameAs).toBeUndefined();
  });
});

describe('the recorder itself', () => {
  const seen = (...samples: number[]) => {
    const watch = recorderWatch(2 ** -15);
    watch.see(Float32Array.from(samples));
    return watch.state(7);
  };

  it('clips where three samples in a row stand at its full scale.', () => {
    expect(seen(1, 1, 1, 0).clippedRuns).toBe(1);
    expect(seen(1, 1, 0, 1, 1).clippedRuns).toBe(0);
    expect(seen(-1, 1, -1, 0, 1, 1, 1, 1, 1, 1).clippedRuns).toBe(2);
    // One and a half steps below full scale are full scale.
    expect(seen(1 - 2 ** -15, 1 - 2 ** -15, 1 - 2 ** -15).clippedRuns).toBe(1);
    expect(seen(1 - 2 ** -14, 1 - 2 ** -14, 1 - 2 ** -14).clippedRuns).toBe(0);
  });

  it('has a peak, an offset and a clock.', () => {
    expect(seen(0.5, -0.25, 0.5, 0.25)).toEqual({
      peakDbFs: expect.closeTo(-6.0206, 4),
      clippedRuns: 0,
      dcOffset: 0.25,
      clockPpm: 7,
    });
    expect(recorderWatch(2 ** -15).state(0).dcOffset).toBe(0);
  });
});
