import { expect, test } from 'vitest';
import { evaluateOnGrid, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { seededRandom } from '../../../src/dsp/random.ts';
import { measureNoise } from '../../../src/measure/disturbances/noise.ts';
import { steadyToneLevel, voltsPerFullScale } from '../../../src/measure/recorder/calibration.ts';
import { measureRecorder } from '../../../src/measure/recorder/measure-recorder.ts';
import { recorderResponse, withoutRecorder } from '../../../src/measure/recorder/recorder-response.ts';
import { recorderWatch } from '../../../src/measure/recorder/recorder-state.ts';
import { gridFrequencyHz, gridPosition } from '../../../src/model/frequency-grid.ts';
import { magnitudeDb } from '../../../src/model/response.ts';
import type { Tap } from '../../../src/model/session.ts';
import { sessionOf } from '../../findings/synthetic.ts';
import { memorySound } from '../../memory-sound.ts';
import { thrown } from '../../thrown.ts';
import { exactResponse } from '../exact-response.ts';

const tap: Tap = {
  id: 'a',
  label: 'a',
  side: 'left',
  position: 'front',
  load: 'speaker',
  connection: 'pair',
};

test('a coupling capacitor seen in the loop take is divided out of a tap', () => {
  const coupling = evaluateOnGrid(prototypeSections({ family: 'butterworth', order: 1, side: 'high-pass' }), {
    frequencyHz: gridFrequencyHz,
    cornerHz: 10,
    sampleRateHz: null,
  });
  const at = (hz: number) => {
    const i = Math.round(gridPosition(hz));
    return { real: coupling.real[i], imag: coupling.imag[i] };
  };
  const loop = recorderResponse({
    left: exactResponse({ gain: 0 }),
    right: exactResponse({ at, gain: 0.3, delaySeconds: 0.01 }),
  })!;
  const corrected = magnitudeDb(withoutRecorder(exactResponse({ at, gain: 0.5 }), loop));
  for (const hz of [15, 20, 40, 1000])
    expect(corrected[Math.round(gridPosition(hz))]).toBeCloseTo(20 * Math.log10(0.5), 2);
});

test('pad and full-scale volts, or a metered tone, turn full scale into volts', () => {
  const pad = { kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.2, tolerancePercent: 2 } as const;
  expect(voltsPerFullScale({ calibration: pad, tap, toneLevel: null })!.volts).toBeCloseTo(13.2, 9);
  // One side of a bridged pair reads 6.0206 dB low (two equal and opposite halves).
  const oneLeg = voltsPerFullScale({
    calibration: pad,
    tap: { ...tap, connection: 'one leg' },
    toneLevel: null,
  })!;
  expect(20 * Math.log10(oneLeg.volts / 13.2)).toBeCloseTo(6.0206, 4);
  const tone = { kind: 'tone', file: 't.wav', channel: 1, voltsRms: 6.85, tolerancePercent: 1 } as const;
  expect(voltsPerFullScale({ calibration: tone, tap, toneLevel: 0.5 })!.volts).toBeCloseTo(13.7, 9);
  expect(voltsPerFullScale({ calibration: { kind: 'none' }, tap, toneLevel: null })).toBeNull();
});

test('a steady tone is read to 0.01 dB at any frequency, and noise is refused', () => {
  const sampleRateHz = 48_000;
  for (const hz of [55, 100.3, 997]) {
    const samples = Float32Array.from(
      { length: 6 * sampleRateHz },
      (_, n) => 0.3 * Math.sin((2 * Math.PI * hz * n) / sampleRateHz),
    );
    expect(20 * Math.log10(steadyToneLevel(samples, { sampleRateHz, file: 'tone.wav' }) / 0.3)).toBeCloseTo(
      0,
      2,
    );
  }
  const random = seededRandom(2);
  const noise = Float32Array.from({ length: 2 ** 17 }, () => 0.1 * random.gaussian());
  expect(thrown(() => steadyToneLevel(noise, { sampleRateHz, file: 'tone.wav' })).code).toBe('calibration');
});

test('a calibration tone is read in the middle six seconds of its own channel', () => {
  const sampleRateHz = 8000;
  const tone = Float32Array.from({ length: 12 * sampleRateHz }, (_, n) =>
    Math.abs(n / sampleRateHz - 6) < 3 ? 0.3 * Math.sin((2 * Math.PI * 100 * n) / sampleRateHz) : 0.9,
  );
  const silent = new Float32Array(tone.length);
  const calibration = { kind: 'tone', file: 't.wav', channel: 2, voltsRms: 5, tolerancePercent: 1 } as const;
  const session = { ...sessionOf([tap]), calibration };
  const open = () => memorySound({ sampleRateHz, channels: [silent, tone] });
  expect(measureRecorder({ session, open }).toneLevel).toBeCloseTo(0.3, 3);
  expect(measureRecorder({ session: sessionOf([tap]), open }).toneLevel).toBeNull();
});

test('runs at full scale are the recorder clipping, single peaks are not', () => {
  const watch = recorderWatch(2 ** -23);
  watch.see(Float32Array.from([0.2, 1 - 2 ** -23, 0.1, -1, -1, -1, -1, 0]));
  const state = watch.state(12);
  expect(state.clippedRuns).toBe(1);
  expect(state.peakDbFs).toBeCloseTo(0, 6);
  expect(state.clockPpm).toBe(12);
});

test('hum lines stand out with their level, and the quiet tones of the track do not', () => {
  const sampleRateHz = 48_000;
  const random = seededRandom(8);
  const tonesHz = [55, 997, 6007];
  const wave = (hz: number, n: number) => Math.sin((2 * Math.PI * hz * n) / sampleRateHz);
  const samples = Float32Array.from({ length: 3 * sampleRateHz }, (_, n) => {
    const tones = tonesHz.reduce((sum, hz) => sum + 1e-3 * wave(hz, n), 0);
    return tones + 2e-4 * wave(50, n) + 1e-4 * wave(150, n) + 1e-5 * random.gaussian();
  });
  const silent = exactResponse({ gain: 0 });
  const noise = measureNoise({
    underQuietTone: samples,
    inSilence: samples,
    tonesHz,
    sampleRateHz,
    left: silent,
    right: silent,
    recorderDbFs: null,
  });
  expect(noise.lines.map(({ frequencyHz }) => Math.round(frequencyHz))).toEqual([50, 150]);
  expect(Math.abs(noise.lines[0].levelDbFs - 20 * Math.log10(2e-4))).toBeLessThan(0.5);
  // Two lines and the floor: the RMS sum, by hand.
  const expected = 10 * Math.log10((0.5 * (4e-8 + 1e-8) + 1e-10 * (20 / 24)) / 0.5);
  expect(Math.abs(noise.underQuietToneDbFs - expected)).toBeLessThan(0.3);
});
