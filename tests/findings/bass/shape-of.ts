import { findBassChanges } from '../../../src/findings/bass/bass-change.ts';
import { tapSeries } from '../../../src/findings/tap-series.ts';
import { findingsOf } from '../../../src/model/finding.ts';
import { type Filter, measurementsOf, pass, sessionOf, tapOf } from '../synthetic.ts';
import { seededRandom } from '../synthetic-noise.ts';

const SETTINGS = [10, 14, 18, 22, 26, 30];

export function shapeOf(filters: (setting: number) => Filter[], { snrDb = 60, seed = 1 } = {}) {
  const radio = { gainDb: (setting: number) => setting - 40, filters, snrDb };
  const measurements = measurementsOf({ radio, settings: SETTINGS, random: seededRandom(seed) });
  const findings = findBassChanges(tapSeries({ session: sessionOf([tapOf()]), measurements }));
  return findingsOf(findings, 'bass-change')[0].shape;
}

/** A high-pass whose corner climbs from nothing, or from one of the radio’s own. */
export const climbing =
  (order: number, family: 'butterworth' | 'linkwitz-riley', fromHz: number | null) => (setting: number) => {
    const cornerHz = setting <= 18 ? fromHz : { 22: 55, 26: 75, 30: 95 }[setting]!;
    return cornerHz === null ? [] : [pass('high-pass', cornerHz, { order, family })];
  };
