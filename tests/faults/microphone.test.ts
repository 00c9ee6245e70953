import { beforeAll, describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import type { Results } from '../../src/model/results.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { analysedSpoilt, FALLING_BASS, type Spoilable } from './spoilt.ts';

/** A phone between the front seats: both speakers, some reflections, a microphone that falls below 70 Hz, an idling road. */
function heardInCar({ channels, sampleRateHz }: Spoilable, index: number): Float32Array {
  const random = seededRandom(40 + index);
  const length = channels[0].length;
  const heard = new Float32Array(length);
  const reflections = [
    [0, 1],
    [0.0021, 0.6],
    [0.0047, -0.45],
    [0.0113, 0.3],
    [0.019, 0.2],
  ] as const;
  for (const [seconds, gain] of reflections) {
    const shift = Math.round(seconds * sampleRateHz);
    for (let n = shift; n < length; n++)
      heard[n] += 0.3 * gain * (channels[0][n - shift] + 0.8 * channels[1][n - shift]);
  }
  const pole = Math.exp((-2 * Math.PI * 70) / sampleRateHz);
  let [before, out, rumble] = [0, 0, 0];
  for (let n = 0; n < length; n++) {
    out = pole * (out + heard[n] - before);
    before = heard[n];
    rumble = 0.995 * rumble + random.gaussian();
    heard[n] = out + 2e-6 * rumble + 1e-5 * random.gaussian();
  }
  return heard;
}

let results: Results;
beforeAll(() => {
  results = analysedSpoilt({
    spoil: (recording, index) => {
      recording.channels = [heardInCar(recording, index)];
    },
    session: (input) => ({
      ...input,
      taps: [{ id: 'phone', position: 'microphone' }],
      recordings: input.recordings!.map((entry) =>
        typeof entry === 'string' ? entry : { ...entry, channels: ['phone'] },
      ),
    }),
  });
});

describe('screening with a phone left in the car', () => {
  test('bass change is within its uncertainty of the radio’s own', () => {
    const { truth } = simulate(FALLING_BASS);
    const [finding] = findingsOf(results.findings, 'bass-change');
    expect(finding.verdict).toBe('falls with volume');
    let compared = 0;
    for (const { setting, changeDb } of finding.changes) {
      const expected = truth.taps[0].settings.find((row) => row.setting === setting)!.bassChangeDb;
      changeDb.forEach((value, at) => {
        if (isNotMeasurable(value)) return;
        compared++;
        expect(Math.abs(value.value - expected[at]!)).toBeLessThan(value.plusMinus);
        expect(value.plusMinus).toBeGreaterThanOrEqual(0.5);
      });
    }
    expect(compared).toBeGreaterThanOrEqual(12);
  });

  test('volts, band limits, clipping, polarity and timing are withheld by name', () => {
    const [band] = findingsOf(results.findings, 'band');
    expect(band.verdict).toBe('cannot be told');
    expect(band.reason).toEqual({ code: 'heard by a microphone' });
    for (const law of findingsOf(results.findings, 'volume-law'))
      for (const { voltsRms } of law.levels) expect(isNotMeasurable(voltsRms)).toBe(true);
    for (const clipping of findingsOf(results.findings, 'clipping')) {
      expect(clipping.place).toBe('cannot be told');
    }
    for (const { highestCleanRecorded } of findingsOf(results.findings, 'clean-settings'))
      expect(highestCleanRecorded).toBeNull();
    for (const timing of findingsOf(results.findings, 'timing')) expect(timing.polarity).toBe('ambiguous');
    for (const kind of ['crossover', 'rail', 'noise', 'common-ceiling'] as const)
      expect(findingsOf(results.findings, kind)).toEqual([]);
  });

  test('nothing is fed from a microphone', () => {
    expect(
      results.recommendations.filter(({ kind }) => kind === 'feed' || kind === 'converter-level'),
    ).toEqual([]);
  });
});
