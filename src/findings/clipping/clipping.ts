import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, measured, notMeasurable } from '../../model/measured.ts';
import { COVERAGE } from '../coverage.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import { tapVoltsRms } from '../tap-volts.ts';
import { stagePlace } from './stage-place.ts';
import { limitPoints, type ToneSeries, toneSeries } from './tone-series.ts';

type Clipping = FindingOf<'clipping'>;

/** What a sound clip curve is still off by: window, aliases (262 onsets of the random radios 1003001 to 1003312 at 60 to 70 dB). */
const CURVE_SIGMA_DB = 0.00025;
/** The same where the tap's own filters had to be taken out of the harmonics (275 onsets of the same radios at 50 dB or better). */
const FILTERED_CURVE_SIGMA_DB = 0.0008;

/** Where a tap begins to clip: one finding for each ladder tone. */
export function findClipping(series: TapSeries): Clipping[] {
  return toneSeries(series.takes).map(({ toneHz, perSetting }) => {
    const points = limitPoints(perSetting);
    return {
      kind: 'clipping',
      id: `clipping:${series.tap.id}:${toneHz}`,
      tapIds: [series.tap.id],
      evidence: evidenceOf(perSetting.map(({ take }) => take)),
      toneHz,
      perSetting: perSetting.map(onsetRow),
      place: points.length === 0 ? 'none seen' : stagePlace(points),
      highestHarmonic: Math.min(...perSetting.map(({ tone }) => tone.highestHarmonic)),
    };
  });
}

function onsetRow({
  take,
  tone: { onset },
}: ToneSeries['perSetting'][number]): Clipping['perSetting'][number] {
  const { setting } = take;
  if (isNotMeasurable(onset))
    return { setting, driveDbFs: onset, voltsRms: notMeasurable(onset.notMeasurable) };
  const curveSigmaDb = onset.distortion === 'as recorded' ? CURVE_SIGMA_DB : FILTERED_CURVE_SIGMA_DB;
  const plusMinusDb = COVERAGE * Math.hypot(onset.driveSigmaDb, curveSigmaDb);
  return {
    setting,
    driveDbFs: measured({ value: onset.driveDbFs, plusMinus: plusMinusDb }),
    voltsRms: tapVoltsRms(take.measurement, { levelDbFs: onset.levelDbFs, plusMinusDb }),
  };
}
