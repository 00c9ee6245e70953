import type { Results } from '../../model/results.ts';
import { formatSetting, listed } from '../format.ts';
import { type Html, html } from '../html.ts';
import { tapLabelOf } from '../tap-label.ts';
import { SUMMARY_WORDS, summaryFacts } from '../wording/summary-words.ts';
import { alikeGroups, apartDb, SAME_CURVE_DB } from './alike.ts';
import { type RelativeCurve, relativeCurves } from './curves.ts';

/** Third-octave bands (IEC 61260-1): every sixteenth point of the grid is a midband frequency. */
const BAND_POINTS = 16;
const FROM_HZ = 24;
const TO_HZ = 17_000;
const WIDTH = 860;
const MAP_LEFT = 250;
const MAP_WIDTH = 540;
const ROW_PX = 13;
const BAND_HEIGHT_PX = 46;
const SHADES = 8;
/** White stands for this much less than the output's own band has. */
const WHITE_DB = -24;
const MARKS_HZ = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16_000];

interface OutputMap {
  readonly names: readonly string[];
  readonly curves: readonly RelativeCurve[];
  readonly tapIds: readonly string[];
}

/**
 * The whole radio in one picture to send to a colleague: for each output what it carries, across by frequency, upwards by
 * setting, the darker the more of its own band. Outputs that agree share a map. Colours are its own: it is saved as it is.
 */
export function radioAtAGlance(results: Results): Html {
  const maps = mapsOf(results);
  if (maps.length === 0) return html``;
  const bands = results.frequencyHz.flatMap((hz, i) =>
    i % BAND_POINTS === 0 && hz >= FROM_HZ && hz <= TO_HZ ? [i] : [],
  );
  const x = (k: number) => Math.round(MAP_LEFT + (k / bands.length) * MAP_WIDTH);
  let y = 34;
  const rows = maps.map((map) => {
    const height = Math.max(BAND_HEIGHT_PX, map.curves.length * ROW_PX);
    const drawn = mapRow(map, { y, height, bands, x, facts: summaryFacts(results, map.tapIds) });
    y += height + 16;
    return drawn;
  });
  const marks = MARKS_HZ.flatMap((hz) => {
    const k = bands.findIndex((i) => Math.abs(Math.log(results.frequencyHz[i] / hz)) < 0.06);
    return k < 0
      ? []
      : [
          html`<text x="${(x(k) + x(k + 1)) / 2}" y="${y + 2}" text-anchor="middle">${hz < 1000 ? hz : `${hz / 1000}k`}</text>`,
        ];
  });
  return html`<svg id="glance-picture" viewBox="0 0 ${WIDTH} ${y + 42}" width="${WIDTH}" height="${y + 42}" role="img" aria-label="${SUMMARY_WORDS.title}" font-family="system-ui, sans-serif" font-size="12" fill="#1d2329"><rect width="${WIDTH}" height="${y + 42}" fill="#fff"/><text x="10" y="22" font-size="15" font-weight="600">${SUMMARY_WORDS.title}: ${results.session.name}</text><text x="10" y="${y + 34}">${SUMMARY_WORDS.reading}</text>${rows}${marks}<text x="${MAP_LEFT + MAP_WIDTH}" y="${y + 18}" text-anchor="end">${SUMMARY_WORDS.axis}</text></svg>`;
}

function mapsOf(results: Results): OutputMap[] {
  const label = tapLabelOf(results);
  const taps = results.session.taps
    .map(({ id }) => ({ id, curves: relativeCurves(results, id) }))
    .filter(({ curves }) => curves.length > 0);
  return alikeGroups(taps, (a, b) => sameCurves(a.curves, b.curves)).map((group) => ({
    names: group.map(({ id }) => label(id)),
    curves: group[0].curves,
    tapIds: group.map(({ id }) => id),
  }));
}

function sameCurves(a: readonly RelativeCurve[], b: readonly RelativeCurve[]): boolean {
  return (
    a.length === b.length &&
    a.every(({ setting, curve }, i) => setting === b[i].setting && apartDb(curve, b[i].curve) < SAME_CURVE_DB)
  );
}

interface Place {
  readonly y: number;
  readonly height: number;
  readonly bands: readonly number[];
  readonly x: (k: number) => number;
  readonly facts: readonly string[];
}

function mapRow({ names, curves }: OutputMap, { y, height, bands, x, facts }: Place): Html {
  const step = height / curves.length;
  const fields = new Map<number, string>();
  curves.forEach(({ curve }, s) => {
    const top = Math.round(y + height - (s + 1) * step);
    const foot = Math.round(y + height - s * step);
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
  const title = listed(names);
  const lines = [title, ...facts];
  return html`${lines.map((line, i) => html`<text x="10" y="${y + 12 + i * 14}">${line}</text>`)}${[
    ...fields,
  ].map(
    ([shade, path]) => html`<path d="${path}" fill="#10324a" fill-opacity="${(shade / SHADES).toFixed(2)}"/>`,
  )}<path d="M${MAP_LEFT} ${y}H${MAP_LEFT + MAP_WIDTH}V${y + height}H${MAP_LEFT}Z" fill="none" stroke="#1d2329"/><text x="${MAP_LEFT + MAP_WIDTH + 6}" y="${y + height}">${formatSetting(curves[0].setting)}</text><text x="${MAP_LEFT + MAP_WIDTH + 6}" y="${y + 10}">${formatSetting(curves[curves.length - 1].setting)}</text>`;
}

function shadeOf(db: number | null): number {
  if (db === null) return 0;
  return Math.max(0, Math.min(SHADES, Math.round((1 - db / WHITE_DB) * SHADES)));
}
