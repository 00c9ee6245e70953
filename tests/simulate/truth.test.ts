import { expect, test } from 'vitest';
import { BASS_FREQUENCIES_HZ } from '../../src/model/finding.ts';
import type { ExampleName } from '../../src/simulate/examples.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { trueBand } from '../../src/simulate/true-band.ts';
import { trueOnset } from '../../src/simulate/true-bass.ts';
import { truthOf } from '../../src/simulate/truth.ts';

function tapTruth(name: ExampleName, tap = 0) {
  return truthOf(exampleScenario(name)).taps[tap];
}

// W3C Audio EQ Cookbook, analogue prototype: half the decibels at the corner, here 80 Hz (bilinear at 48 kHz: the same).
test('a shelf of -9 dB at 80 Hz loses 4.5 dB at 80 Hz, between 20 and 26', () => {
  const { plateauSettings, bassOnset, settings } = tapTruth('shelf loss');
  expect(plateauSettings).toEqual([12, 16, 20]);
  expect(bassOnset).toEqual({ lastIntact: 20, firstChanged: 26 });
  const loudest = settings.find(({ setting }) => setting === 32)!;
  expect(loudest.bassChangeDb[BASS_FREQUENCIES_HZ.indexOf(80)]).toBeCloseTo(-4.5, 9);
  expect(settings[0].bassChangeDb).toEqual([0, 0, 0, 0]);
});

// Butterworth: 10 log10(1 + (fc/f)^2n).
test('a high-pass that climbs to 90 Hz takes away what the Butterworth formula says', () => {
  const { settings } = tapTruth('moving high-pass order 4');
  BASS_FREQUENCIES_HZ.forEach((frequencyHz, i) => {
    expect(settings[4].bassChangeDb[i]).toBeCloseTo(-10 * Math.log10(1 + (90 / frequencyHz) ** 8), 3);
  });
});

test('a loudness contour is no loss: the plateau is above it and there is no onset', () => {
  const { plateauSettings, bassOnset, settings } = tapTruth('loudness only');
  expect(plateauSettings).toEqual([20, 26, 32]);
  expect(bassOnset).toBeNull();
  expect(settings[0].bassChangeDb[0]).toBeGreaterThan(6);
});

test('the onset depends on the frequency and the loss at which it is judged', () => {
  const scenario = exampleScenario('shelf loss');
  expect(trueOnset(scenario, { tapId: 'front-left', atHz: 40, thresholdDb: 5 })).toEqual({
    lastIntact: 26,
    firstChanged: 32,
  });
  expect(trueOnset(scenario, { tapId: 'front-left', atHz: 2000, thresholdDb: 0.5 })).toBeNull();
});

// Butterworth of order 1: -6.02 dB where (f/fc)^2 = 3; Linkwitz-Riley 4: -3.01 dB where (f/fc)^4 = sqrt 2 - 1.
test('band edges are where the closed forms put them', () => {
  const butterworth = trueBand(
    exampleScenario('butterworth 1', { recorder: { sampleRateHz: 192_000 } }),
    'door-left',
  ).highEdge!;
  expect(butterworth.minus3Hz / 2000).toBeCloseTo(1, 3);
  expect(butterworth.minus6Hz / 2000).toBeCloseTo(Math.sqrt(3), 2);
  const { lowEdge, highEdge } = trueBand(exampleScenario('linkwitz-riley 4'), 'dash-left');
  expect(highEdge).toBeNull();
  expect(lowEdge).toMatchObject({ family: 'linkwitz-riley', order: 4, cornerHz: 300, slopeDbPerOctave: 24 });
  expect(lowEdge!.minus3Hz / 300).toBeCloseTo((Math.SQRT2 - 1) ** -0.25, 3);
  expect(lowEdge!.minus6Hz / 300).toBeCloseTo(1, 4);
});

// 6.85 V at 30 and 1 dB a step: 8.62 V RMS, 12.2 V peak at 32; the rail is at 12.6 V.
test('the highest clean setting is the last one whose full-scale sine is below 1 percent', () => {
  const { settings } = tapTruth('rail clip');
  expect(settings.map(({ setting, cleanAtFullScale }) => [setting, cleanAtFullScale])).toEqual([
    [20, true],
    [26, true],
    [32, true],
    [36, false],
    [38, false],
  ]);
  const [bass, middle] = settings[3].clipping;
  // 36: 13.67 V RMS, 19.33 V peak; 1 % at 12.6 / 0.969945 = 12.99 V.
  const expected = 20 * Math.log10(12.6 / 0.969945 / (6.85 * Math.SQRT2 * 10 ** (6 / 20)));
  expect(bass.driveDbFs).toBeCloseTo(expected, 3);
  expect(middle.driveDbFs).toBeCloseTo(expected, 3);
});

test('a fixed boost lowers the highest clean setting: it is judged where the tap is boosted most', () => {
  const boosted = truthOf(
    exampleScenario('rail clip', {
      settings: [20, 24, 28, 29, 32],
      everyTap: { fixedEq: [{ kind: 'peak', frequencyHz: 50, gainDb: 4, q: 1 }] },
    }),
  ).taps[0];
  // 28 + 4 dB of boost: 12.2 V peak at the rail again; 29 is a decibel above.
  expect(boosted.settings.map(({ cleanAtFullScale }) => cleanAtFullScale)).toEqual([
    true,
    true,
    true,
    false,
    false,
  ]);
  expect(boosted.settings[2].mostBoostedHz).toBeCloseTo(50, 0);
});
