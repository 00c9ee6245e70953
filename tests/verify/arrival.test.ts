import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { lowArrival, wideArrival } from '../../src/verify/arrival.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import { type ExactTap, exactResponse } from '../findings/exact-responses.ts';
import { type ExactRecording, fitOf, plannedFeed, recordedFeed, recording } from './exact-recordings.ts';

// A pure delay turns the phase by -2 pi f t and nothing else (closed form).
const arrivalOf = (left: ExactTap, more: ExactRecording = {}) =>
  wideArrival(recordedFeed({ measurements: [recording({ left, ...more })] }), fitOf());

describe('a wide feed', () => {
  it.each([
    [0.0005, false],
    [-0.0005, false],
    [0.0021, true],
    [-0.0021, true],
  ])('that comes %d s late, inverted: %s, is told by both.', (delaySeconds, inverted) => {
    const found = arrivalOf({ delaySeconds, inverted });
    expect(found?.delaySeconds).toBeCloseTo(delaySeconds, 7);
    expect(found?.polarity).toBe(inverted ? 'inverted' : 'same');
    expect(found).toMatchObject({ setting: 20, timeOrigin: 'one file / plan' });
  });

  it('planned late by itself is not late: only what differs from the plan counts.', () => {
    const late: PlannedFeed['spectrum'] = () => ({
      real: gridFrequencyHz.map((hz) => Math.cos(2 * Math.PI * hz * 0.002)),
      imag: gridFrequencyHz.map((hz) => -Math.sin(2 * Math.PI * hz * 0.002)),
      timeOrigin: 'plan',
    });
    const measurements = [recording({ left: { delaySeconds: 0.003, gainDb: 6 } })];
    const found = wideArrival(
      recordedFeed({ planned: plannedFeed({ spectrum: late }), measurements }),
      fitOf(),
    );
    expect(found?.delaySeconds).toBeCloseTo(0.001, 7);
    expect(found?.polarity).toBe('same');
  });

  it('has the amplifier’s fitted filter taken out, so that its phase is no delay and no sign.', () => {
    const highPass = { type: 'high-pass', cornerHz: 500, slopeDbPerOctave: 12 };
    const left: ExactTap = {
      edges: [{ side: 'high-pass', family: 'butterworth', order: 2, cornerHz: 500 }],
      delaySeconds: 0.001,
    };
    const planned = plannedFeed({ filters: [highPass] as unknown as PlannedFeed['filters'] });
    const fit = fitOf({ filters: [{ family: 'butterworth', cornerHz: 500 }] });
    const found = wideArrival(recordedFeed({ planned, measurements: [recording({ left })] }), fit);
    expect(found?.delaySeconds).toBeCloseTo(0.001, 7);
    expect(found?.polarity).toBe('same');
    // Also behind a plan that is late itself.
    const late = plannedFeed({
      filters: [highPass] as unknown as PlannedFeed['filters'],
      spectrum: () => ({ ...exactResponse({ delaySeconds: 0.0007 }), timeOrigin: 'plan' }),
    });
    const behind = wideArrival(recordedFeed({ planned: late, measurements: [recording({ left })] }), fit);
    expect(behind?.delaySeconds).toBeCloseTo(0.0003, 7);
    expect(behind?.polarity).toBe('same');
    // A converter's output lies before that filter.
    const atConverter = recordedFeed({
      planned,
      measurements: [recording({ left: { delaySeconds: 0.001 } })],
      node: 'converter output',
    });
    expect(wideArrival(atConverter, fitOf())?.delaySeconds).toBeCloseTo(0.001, 7);
  });

  it('lies between both signs where its phases are a quarter of a turn off, to one side and the other in turn.', () => {
    // Cosine 0 with either sign, whatever the delay.
    const quarters: PlannedFeed['spectrum'] = () => ({
      real: new Float64Array(gridFrequencyHz.length),
      imag: gridFrequencyHz.map((_, i) => (i % 8 === 0 ? 1 : -1)),
      timeOrigin: 'plan',
    });
    const found = wideArrival(
      recordedFeed({ planned: plannedFeed({ spectrum: quarters }), measurements: [recording({})] }),
      fitOf(),
    );
    expect(found?.polarity).toBe('ambiguous');
  });

  it('needs two octaves above 400 Hz: 400 Hz to 1.5 kHz are 1.9, to 1.8 kHz 2.2.', () => {
    expect(arrivalOf({}, { trustedHz: [100, 1500] })).toBeNull();
    expect(arrivalOf({}, { trustedHz: [100, 1800] })?.polarity).toBe('same');
    expect(arrivalOf({}, { trustedHz: [20, 300] })).toBeNull();
  });

  it('is judged from 400 Hz to 12 kHz: what comes half a turn off outside of it moves nothing.', () => {
    const turned: PlannedFeed['spectrum'] = () => ({
      real: gridFrequencyHz.map((hz) => (hz < 400 || hz > 12_000 ? -1 : 1)),
      imag: new Float64Array(gridFrequencyHz.length),
      timeOrigin: 'plan',
    });
    const measurements = [recording({ left: { delaySeconds: 0.0005 } })];
    const found = wideArrival(
      recordedFeed({ planned: plannedFeed({ spectrum: turned }), measurements }),
      fitOf(),
    );
    expect(found?.delaySeconds).toBeCloseTo(0.0005, 8);
    expect(found?.polarity).toBe('same');
  });

  it('is not judged where its timing is not known in the plan.', () => {
    const planned = plannedFeed({ spectrum: () => null });
    expect(wideArrival(recordedFeed({ planned }), fitOf())).toBeNull();
  });
});

describe('a narrow feed beside a wide one', () => {
  const wide = { setting: 20, timeOrigin: 'one file / plan', delaySeconds: 0.002, polarity: 'same' } as const;
  const low = (left: ExactTap, more: ExactRecording = {}) =>
    lowArrival(
      recordedFeed({ measurements: [recording({ left, trustedHz: [12, 150], ...more })] }),
      fitOf(),
      wide,
    );

  it('has its sign told once the wide one’s delay is taken out: 2 ms are 43 degrees at 60 Hz.', () => {
    expect(low({ delaySeconds: 0.002 })).toEqual(wide);
    expect(low({ delaySeconds: 0.002, inverted: true })).toEqual({ ...wide, polarity: 'inverted' });
    // 8.3 ms later are half a turn at 60 Hz, though the wires are right; 4.2 ms are a quarter: neither.
    expect(low({ delaySeconds: 0.002 + 1 / 240 })?.polarity).toBe('ambiguous');
    expect(low({ delaySeconds: 0.002 - 1 / 240 })?.polarity).toBe('ambiguous');
  });

  it('is not held against a take of another time zero, or where nothing of 30 to 90 Hz is heard.', () => {
    expect(low({}, { timeOrigin: 'another file' })).toBeNull();
    expect(low({}, { trustedHz: [100, 4000] })).toBeNull();
  });
});
