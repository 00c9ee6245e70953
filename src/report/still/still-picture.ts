import type { Figure, Layout, Trace } from '../charts/figure.ts';
import { type Html, html } from '../html.ts';
import { endLabels } from './end-labels.ts';
import { markAt, traceStyle } from './marks.ts';
import { type Scale, scaleOf } from './scale.ts';
import { type Point, withoutStraights } from './without-straights.ts';

const WIDTH = 420;
/** A picture's height in the figure is what the plotting library gets on a wide page. */
const HEIGHT_SHARE = 0.8;
const LEFT = 54;
const NAMES_LEFT = 110;
const RIGHT = 12;
const TOP = 12;
const TITLED_TOP = 24;
const BOTTOM = 46;

/**
 * A figure as still SVG, one for each panel: what the page shows from its first moment and on paper, until it is touched
 * and the plotting library draws the same with values on hover. Lines of equal loss are shaded fields here. Names stand
 * at the ends of the curves where there is room for them.
 */
export function stillPicture({ data, layout }: Figure): Html {
  const titles = layout.panels ?? [''];
  const height = Math.round(layout.height * HEIGHT_SHARE);
  const names = endLabels({ data, layout });
  const box = {
    left: layout.yaxis.type === 'category' ? NAMES_LEFT : LEFT,
    right: WIDTH - RIGHT - names.width,
    top: layout.panels === undefined ? TOP : TITLED_TOP,
    bottom: height - BOTTOM,
  };
  const xs = data.flatMap(({ x }) => x);
  // A map fills its frame.
  const room = data.some(({ type }) => type === 'contour') ? 0 : undefined;
  const x = scaleOf(layout.xaxis, xs, [box.left, box.right], room);
  const ys = data.flatMap(({ y }) => y);
  const y = scaleOf(layout.yaxis, ys, [box.bottom, box.top]);
  return html`${titles.map((title, k) => {
    const traces = data.filter(({ panel = 0 }) => panel === k);
    return html`<svg class="still" viewBox="0 0 ${WIDTH} ${height}" aria-hidden="true">${panel({ title, box, x, y, layout, traces })}${names.drawn(traces, x, y, box)}</svg>`;
  })}`;
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

interface Panel {
  readonly title: string;
  readonly box: Box;
  readonly x: Scale;
  readonly y: Scale;
  readonly layout: Layout;
  readonly traces: readonly Trace[];
}

function panel({ title, box, x, y, layout, traces }: Panel): Html {
  const { left, right, top, bottom } = box;
  const [width, height] = [right - left, bottom - top];
  return html`${title === '' ? '' : html`<text x="${left}" y="${top - 8}">${title}</text>`}
<svg x="${left}" y="${top}" width="${width}" height="${height}" viewBox="${left} ${top} ${width} ${height}">
${(layout.shapes ?? []).map((shape) => shapeIn(shape, { box, x, y }))}
<path class="grid" d="${x.ticks.map(({ at }) => `M${at} ${top}V${bottom}`).join('')}${y.ticks.map(({ at }) => `M${left} ${at}H${right}`).join('')}"/>
${traces.map((trace) => (trace.type === 'contour' ? fields(trace, x, y) : curve(trace, x, y)))}</svg>
<path class="axis" d="M${left} ${top}V${bottom}H${right}"/>
${apartFrom(x.ticks).map(({ at, text }) => html`<text x="${at}" y="${bottom + 17}" text-anchor="middle">${text}</text>`)}
<text x="${(left + right) / 2}" y="${bottom + 36}" text-anchor="middle">${layout.xaxis.title.text}</text>
${levelLabels(box, y, layout.yaxis.title.text)}`;
}

/** Marks of an axis that would run into one another: every second is named. */
function apartFrom(ticks: Scale['ticks']): Scale['ticks'] {
  const crowded = ticks.some(
    ({ at, text }, i) => i > 0 && at - ticks[i - 1].at < LEAST_APART_PX + 6 * text.length,
  );
  return crowded ? ticks.filter((_, i) => i % 2 === 0) : ticks;
}

const LEAST_APART_PX = 8;

function levelLabels({ left, top, bottom }: Box, y: Scale, title: string): Html {
  const middle = (top + bottom) / 2;
  return html`${y.ticks.map(({ at, text }) => {
    const lines = text.split('<br>');
    return html`<text y="${at + 4 - 7 * (lines.length - 1)}" text-anchor="end">${lines.map((line, i) => html`<tspan x="${left - 6}" dy="${i * 14}">${line}</tspan>`)}</text>`;
  })}<text transform="translate(13 ${middle}) rotate(-90)" text-anchor="middle">${title}</text>`;
}

function shapeIn(
  shape: NonNullable<Layout['shapes']>[number],
  { box, x, y }: { box: Box; x: Scale; y: Scale },
): Html {
  const across = (value: number) =>
    shape.xref === 'x' ? x.at(value) : box.left + value * (box.right - box.left);
  const up = (value: number) =>
    shape.yref === 'y' ? y.at(value) : box.bottom + value * (box.top - box.bottom);
  const [x0, x1, y0, y1] = [across(shape.x0), across(shape.x1), up(shape.y0), up(shape.y1)];
  if (shape.type === 'line')
    return html`<path d="M${x0} ${y0}L${x1} ${y1}" stroke-dasharray="9 9" style="color:var(${shape.line.color})"/>`;
  return html`<path d="M${x0} ${y0}H${x1}V${y1}H${x0}Z" style="color:var(${shape.line.color});fill:var(${shape.fillcolor ?? '--shade'})"/>`;
}

function curve(trace: Trace, x: Scale, y: Scale): Html {
  const { mode = 'lines', marker } = trace;
  const points = trace.x.flatMap((value, i) => {
    const level = trace.y[i];
    return value === null || level === null ? [null] : [{ x: x.at(value), y: y.at(level), i }];
  });
  const known = points.filter((point) => point !== null);
  const every = Math.max(1, Math.ceil(known.length / (marker?.maxdisplayed || known.length)));
  const symbol = (i: number) =>
    Array.isArray(marker?.symbol) ? marker.symbol[i] : String(marker?.symbol ?? 'circle');
  const marked = mode.includes('markers') ? known.filter((_, k) => k % every === 0) : [];
  return html`<g style="${traceStyle(trace)}">${marked.map((point) => markAt(symbol(point.i), point.x, point.y))}${mode.includes('lines') ? html`<path d="${pathThrough(points)}" fill="none"/>` : ''}</g>`;
}

/** Points on the straight between others are left out: a flat curve is two points. */
function pathThrough(points: readonly (Point | null)[]): string {
  const runs: Point[][] = [[]];
  for (const point of points) {
    if (point === null) runs.push([]);
    else runs[runs.length - 1].push(point);
  }
  return runs
    .flatMap((run) => withoutStraights(run).map(({ x, y }, i) => `${i === 0 ? 'M' : 'L'}${x} ${y}`))
    .join('');
}

/** Deepest shade of the map, as in the figure's own scale of colours. */
const DEEPEST_DB = 19;

const BAND_DB = 1;

/** A field for each setting and frequency, the darker the more is lost; fields of a shade are one outline. */
function fields({ x: columns, y: rows, z = [] }: Trace, x: Scale, y: Scale): Html {
  const xs = columns.map((value) => Math.round(x.at(value ?? 0)));
  const ys = rows.map((value) => Math.round(y.at(value ?? 0)));
  const outlines = new Map<number, string>();
  z.slice(0, -1).forEach((row, r) => {
    row.slice(0, -1).forEach((db, c) => {
      const lossDb = -((db ?? 0) + (row[c + 1] ?? 0)) / 2;
      const band = Math.min(DEEPEST_DB, Math.round(lossDb / BAND_DB) * BAND_DB);
      if (band <= 0) return;
      const outline = `M${xs[c]} ${ys[r]}H${xs[c + 1]}V${ys[r + 1]}H${xs[c]}Z`;
      outlines.set(band, (outlines.get(band) ?? '') + outline);
    });
  });
  return html`${[...outlines].map(
    ([band, outline]) =>
      html`<path d="${outline}" style="stroke:none;fill:var(--map-deep);fill-opacity:${(band / DEEPEST_DB).toFixed(2)}"/>`,
  )}`;
}
