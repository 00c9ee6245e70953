import { evaluateSections, lowShelfSections } from '../../../src/dsp/filter-prototype.ts';
import { findBassChanges } from '../../../src/findings/bass/bass-change.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { BASS_FREQUENCIES_HZ, type FindingOf, findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable } from '../../../src/model/measured.ts';
import type { TapMeasurement } from '../../../src/model/measurement.ts';
import { type Filter, type Radio, sessionOf, tapOf } from '../synthetic.ts';

export const SETTINGS = [10, 14, 18, 22, 26, 30];
const ONE_DB_A_STEP = (setting: number) => setting - 40;
/** Loss at 50 Hz of a radio that is intact up to 20. */
export const lossFrom20 = (setting: number) => -Math.max(0, setting - 18) * 0.75;

export function bassOf(measurements: readonly TapMeasurement[], taps = [tapOf()]) {
  const findings = findBassChanges(tapSeries({ session: sessionOf(taps), measurements }));
  return { changes: findingsOf(findings, 'bass-change'), loudness: findingsOf(findings, 'loudness-contour') };
}

export function radioWith(filters: (setting: number) => Filter[], part: Partial<Radio> = {}): Radio {
  return { gainDb: ONE_DB_A_STEP, filters, ...part };
}

/** Closed form of the W3C cookbook shelf, dB. */
export function shelfDb(frequencyHz: number, of: { cornerHz: number; gainDb: number }): number {
  const { real, imag } = evaluateSections(lowShelfSections(of), {
    frequencyHz,
    cornerHz: of.cornerHz,
    sampleRateHz: null,
  });
  return 20 * Math.log10(Math.hypot(real, imag));
}

export function largestError(
  finding: FindingOf<'bass-change'>,
  expected: (setting: number, hz: number) => number,
): number {
  return Math.max(
    ...finding.changes.flatMap(({ setting, changeDb }) =>
      changeDb.map((change, i) =>
        isNotMeasurable(change) ? 0 : Math.abs(change.value - expected(setting, BASS_FREQUENCIES_HZ[i])),
      ),
    ),
  );
}
