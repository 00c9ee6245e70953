import type { Results } from '../../model/results.ts';
import { formatSetting } from '../format.ts';
import { type Html, html } from '../html.ts';
import { tapLabelOf } from '../tap-label.ts';
import { outputsSaid } from '../wording/output-names.ts';
import { capitalised } from '../wording/statement.ts';
import { summaryFacts } from '../wording/summary-words.ts';
import { alikeGroups, apartDb, SAME_CURVE_DB } from './alike.ts';
import { type RelativeCurve, relativeCurves } from './curves.ts';

/** Third-octave bands (IEC 61260-1): every sixteenth point of the grid is a midband frequency. */
const BAND_POINTS = 16;
const FROM_HZ = 24;
const TO_HZ = 17_000;
const WIDTH = 420;
const MAP_LEFT = 2;
const MAP_TOP = 36;
const MAP_WIDTH = 390;
const ROW_PX = 13;
const LEAST_MAP_PX = 46;
const MARKS_PX = 20;
const SHADES = 8;
/** White stands for this much less than the output's own band has. */
const WHITE_DB = -24;
const MARKS_HZ = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16_000];

interface OutputMap {
  readonly name: string;
  readonly curves: readonly RelativeCurve[];
  readonly facts: readonly string[];
}

/**
 * The whole radio to send to a colleague, a small picture for each output: what it carries, across by frequency, upwards
 * by setting, the darker the more of its own band. Outputs that agree share one. The page sets them side by side or below
 * one another; its script saves them as one picture, in these colours.
 */
export function radioAtAGlance(results: Results): Html[] {
  const bands = results.frequencyHz.flatMap((hz, i) =>
    i % BAND_POINTS === 0 && hz >= FROM_HZ && hz <= TO_HZ ? [i] : [],
  );
  return mapsOf(results).map((map) => mapPicture(map, results.frequencyHz, bands));
}

function mapsOf(results: Results): OutputMap[] {
  const label = tapLabelOf(results);
  const taps = results.session.taps
    .map(({ id }) => ({ id, curves: relativeCurves(results, id) }))
    .filter(({ curves }) => curves.length > 0);
  return alikeGroups(taps, (a, b) => sameCurves(a.curves, b.curves)).map((group) => {
    const tapIds = group.map(({ id }) => id);
    return {
      name: outputsSaid(results, tapIds, label),
      curves: group[0].curves,
      facts: summaryFacts(results, tapIds),
    };
  });
}

function sameCurves(a: readonly RelativeCurve[], b: readonly RelativeCurve[]): boolean {
  return (
    a.length === b.length &&
    a.every(({ setting, curve }, i) => setting === b[i].setting && apartDb(curve, b[i].curve) < SAME_CURVE_DB)
  );
}

function mapPicture(
  { name, curves, facts }: OutputMap,
  frequencyHz: readonly number[],
  bands: readonly number[],
): Html {
  const x = (k: number) => Math.round(MAP_LEFT + (k / bands.length) * MAP_WIDTH);
  const bottom = MAP_TOP + Math.max(LEAST_MAP_PX, curves.length * ROW_PX);
  const right = MAP_LEFT + MAP_WIDTH;
  const marks = MARKS_HZ.flatMap((hz) => {
    const k = bands.findIndex((i) => Math.abs(Math.log(frequencyHz[i] / hz)) < 0.06);
    if (k < 0) return [];
    return [
      html`<text x="${(x(k) + x(k + 1)) / 2}" y="${bottom + 16}" text-anchor="middle">${hz < 1000 ? hz : `${hz / 1000}k`}</text>`,
    ];
  });
  const fields = [...shadedFields(curves, bands, { x, bottom })].map(
    ([shade, path]) => html`<path d="${path}" fill="#10324a" fill-opacity="${(shade / SHADES).toFixed(2)}"/>`,
  );
  return html`<svg class="glance-map" viewBox="0 0 ${WIDTH} ${bottom + MARKS_PX}" width="${WIDTH}" height="${bottom + MARKS_PX}" role="img" aria-label="${[name, ...facts].join(', ')}" font-family="system-ui, sans-serif" font-size="12" fill="#1d2329"><text x="${MAP_LEFT}" y="12" font-weight="600">${capitalised(name)}</text><text x="${MAP_LEFT}" y="28">${facts.join(', ')}</text>${fields}<path d="M${MAP_LEFT} ${MAP_TOP}H${right}V${bottom}H${MAP_LEFT}Z" fill="none" stroke="#1d2329"/><text x="${right + 5}" y="${bottom}">${formatSetting(curves[0].setting)}</text><text x="${right + 5}" y="${MAP_TOP + 10}">${formatSetting(curves[curves.length - 1].setting)}</text>${marks}</svg>`;
}

/** Fields of a shade as one path: a row for each setting, the lowest at the foot. */
function shadedFields(
  curves: readonly RelativeCurve[],
  bands: readonly number[],
  { x, bottom }: { x: (k: number) => number; bottom: number },
): Map<number, string> {
  const step = (bottom - MAP_TOP) / curves.length;
  const fields = new Map<number, string>();
  curves.forEach(({ curve }, s) => {
    const top = Math.round(bottom - (s + 1) * step);
    const foot = Math.round(bottom - s * step);
    let k = 0;
    while (k < bands.length) {
      const shade = shadeOf(curve[bands[k]]);
      let end = k + 1;
      while (end < bands.length && shadeOf(curve[bands[end]]) === shade) end++;
      if (shade > 0)
        fields.set(shade, `${fields.get(shade) ?? ''}M${x(k)} ${top}H${x(end)}V${foot}H${x(k)}Z`);
      k = end;
    }
  });
  return fields;
}

function shadeOf(db: number | null): number {
  if (db === null) return 0;
  return Math.max(0, Math.min(SHADES, Math.round((1 - db / WHITE_DB) * SHADES)));
}
