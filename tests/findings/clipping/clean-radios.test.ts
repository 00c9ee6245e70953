import { expect, test } from 'vitest';
import { peakingSections } from '../../../src/dsp/filter-prototype.ts';
import { findCleanSettings } from '../../../src/findings/clipping/clean-settings.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { type Filter, measurementsOf, pass, type Radio } from '../synthetic.ts';
import { railDrive, seriesIn, seriesOf } from './rail-radio.ts';

const cleanOf = (...of: Parameters<typeof seriesOf>) => findCleanSettings(seriesOf(...of))!;
const cleanIn = (measurements: readonly TapMeasurement[]) => findCleanSettings(seriesIn(measurements))!;

test('0 dBFS that gives 6.85 V at setting 30 is clean up to 32 on a rail of 12.6 V', () => {
  const clip = { driveDbFs: railDrive, beforeFilters: false };
  expect(cleanOf({ clip })).toMatchObject({
    highestCleanRecorded: 32,
    firstClippingRecorded: 34,
    highestCleanComputed: 32,
    mostBoostedHz: 997,
  });
  expect(cleanOf({ clip }, { settings: [20, 24, 28, 36] })).toMatchObject({
    highestCleanRecorded: 28,
    firstClippingRecorded: 36,
    highestCleanComputed: 32,
  });
});

test('with a fixed boost of 4 dB at 50 Hz the same radio is clean up to 28', () => {
  const boost: Filter = { sections: peakingSections({ gainDb: 4, q: 1 }), cornerHz: 50 };
  // The rail is behind the boost: 55 Hz meets it 3.8 dB earlier.
  const boostAt = (hz: number) => (hz === 55 ? 3.83 : 0);
  const radio = {
    filters: () => [boost],
    clip: { driveDbFs: (s: number, hz: number) => railDrive(s) - boostAt(hz), beforeFilters: false },
  };
  const finding = cleanOf(radio, { settings: [20, 24, 28, 32, 36] });
  expect(finding).toMatchObject({
    highestCleanRecorded: 28,
    firstClippingRecorded: 32,
    highestCleanComputed: 28,
  });
  expect(finding.mostBoostedHz).toBeGreaterThan(47);
  expect(finding.mostBoostedHz).toBeLessThan(53);
});

test('where nothing clips and a frequency between the tones is boosted, the loudest setting is not told for want of a tone', () => {
  const boost: Filter = { sections: peakingSections({ gainDb: 4, q: 3 }), cornerHz: 250 };
  const finding = cleanOf({ filters: () => [boost] });
  // Steps of 2 to 4 dB: at 34 the boosted 250 Hz are 2 dB above 997 Hz at 36.
  expect(finding).toMatchObject({
    highestCleanRecorded: 32,
    notKnown: { settings: [34, 36], because: 'no tone was as loud' },
  });
});

test('in noise that would hide a clip of any tone the loudest settings are not told for the noise', () => {
  const filters = () => [pass('low-pass', 550)];
  const finding = cleanOf({ snrDb: 20, filters });
  expect(finding.firstClippingRecorded).toBeNull();
  expect(finding.notKnown).toMatchObject({ because: 'noise' });
  expect(finding.notKnown!.settings).toContain(36);
});

test('a transformer that saturates at 55 Hz is not called clean where lower bass would saturate it sooner', () => {
  // Its flux is the integral of its volts: at 25 Hz it takes 20 log(25 / 55) = 6.8 dB less than at 55 Hz (closed form).
  const bassClipsAtDbFs = -14;
  const radio: Radio = {
    gainDb: (setting) => setting - 40,
    clip: {
      driveDbFs: (setting, toneHz) => (toneHz < 100 ? bassClipsAtDbFs : 60) - (setting - 40),
      beforeFilters: false,
    },
    snrDb: 80,
  };
  const settings = [10, 14, 18, 22, 26, 28, 30, 32];
  const finding = cleanIn(measurementsOf({ radio, settings }));
  // 55 Hz at full scale clips from 26.3 on, 25 Hz from 19.4 on.
  expect(finding).toMatchObject({
    highestCleanRecorded: 18,
    firstClippingRecorded: 28,
    highestCleanComputed: null,
    notKnown: { settings: [22, 26], because: 'no tone was as low' },
    triedHz: [55, 997, 6007],
  });
});

test('a setting of which nothing is heard is neither clean nor clipped, and no setting is not a number', () => {
  const radio: Radio = { gainDb: (setting) => setting - 40, snrDb: 70 };
  const loud = measurementsOf({ radio, settings: [10, 20, 30] });
  const [silent] = measurementsOf({ radio: { ...radio, snrDb: -40 }, settings: [20] });
  const finding = cleanIn([loud[0], silent, loud[2]]);
  expect(finding.highestCleanRecorded).toBe(30);
  expect(finding.notKnown?.settings).toEqual([20]);
  const none = cleanIn([silent]);
  expect([none.highestCleanRecorded, none.firstClippingRecorded, none.highestCleanComputed]).toEqual([
    null,
    null,
    null,
  ]);
});

test('one take that clips far below what the quieter ones took cleanly leaves those clean', () => {
  const clip = { driveDbFs: (s: number) => (s === 36 ? -15 : 12), beforeFilters: false };
  expect(cleanOf({ clip })).toMatchObject({ firstClippingRecorded: 36, highestCleanRecorded: 34 });
});

test('a processor that clips at one drive leaves no setting clean', () => {
  const clip = { driveDbFs: () => -6, beforeFilters: true };
  expect(cleanOf({ clip })).toMatchObject({ highestCleanRecorded: null, firstClippingRecorded: 20 });
});

test('one clipping setting ends it, and with none all recorded ones are clean', () => {
  const clip = { driveDbFs: railDrive, beforeFilters: false };
  expect(cleanOf({ clip }, { settings: [20, 24, 28, 34] })).toMatchObject({
    highestCleanRecorded: 28,
    firstClippingRecorded: 34,
  });
  expect(cleanOf({})).toMatchObject({
    id: 'clean-settings:front-left',
    settings: [20, 24, 28, 32, 34, 36],
    highestCleanRecorded: 36,
    firstClippingRecorded: null,
    highestCleanComputed: null,
  });
});

test('without a tone nothing is said of an output', () => {
  expect(findCleanSettings(seriesOf({ responseTrackOnly: true }))).toBeNull();
});
