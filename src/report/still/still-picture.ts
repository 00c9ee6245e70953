import type { Figure, Layout, Trace } from '../charts/figure.ts';
import { type Html, html } from '../html.ts';
import { markAt, traceStyle } from './marks.ts';
import { type Scale, scaleOf } from './scale.ts';
import { type Point, withoutStraights } from './without-straights.ts';

const WIDTH = 580;
const WIDE_WIDTH = 1200;
const LEFT = 58;
const RIGHT = 14;
const TOP = 14;
const TITLED_TOP = 26;
const BOTTOM = 52;
const GAP = 40;

/**
 * A figure as still SVG: what the page shows from its first moment, until the plotting library has been read and draws
 * the same with values on hover, and what it shows where no script runs. Lines of equal loss are shaded fields here.
 */
export function stillPicture({ data, layout }: Figure): Html {
  const panels = layout.panels ?? [''];
  const width = panels.length > 1 ? WIDE_WIDTH : WIDTH;
  const left = layout.yaxis.type === 'category' ? LEFT + 60 : LEFT;
  const share = (width - left - RIGHT - GAP * (panels.length - 1)) / panels.length;
  const bottom = layout.height - BOTTOM;
  const top = layout.panels === undefined ? TOP : TITLED_TOP;
  const xs = data.flatMap(({ x }) => x);
  // A map fills its frame.
  const room = data.some(({ type }) => type === 'contour') ? 0 : undefined;
  const ys = data.flatMap(({ y }) => y);
  const y = scaleOf(layout.yaxis, ys, [bottom, top]);
  const drawn = panels.map((title, k) => {
    const from = left + k * (share + GAP);
    const box = { left: from, right: from + share, top, bottom };
    const x = scaleOf(layout.xaxis, xs, [box.left, box.right], room);
    const own = data.filter(({ panel = 0 }) => panel === k);
    return panel({ title, box, x, y, layout, traces: own, first: k === 0 });
  });
  return html`<svg class="still" viewBox="0 0 ${width} ${layout.height}" aria-hidden="true">${drawn}</svg>`;
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
  readonly first: boolean;
}

function panel({ title, box, x, y, layout, traces, first }: Panel): Html {
  const { left, right, top, bottom } = box;
  const [width, height] = [right - left, bottom - top];
  return html`<text x="${left}" y="${top - 8}">${title}</text>
<svg x="${left}" y="${top}" width="${width}" height="${height}" viewBox="${left} ${top} ${width} ${height}">
${(layout.shapes ?? []).map((shape) => shapeIn(shape, { box, x, y }))}
<path class="grid" d="${x.ticks.map(({ at }) => `M${at} ${top}V${bottom}`).join('')}${y.ticks.map(({ at }) => `M${left} ${at}H${right}`).join('')}"/>
${traces.map((trace) => (trace.type === 'contour' ? fields(trace, x, y) : curve(trace, x, y)))}</svg>
<path class="axis" d="M${left} ${top}V${bottom}H${right}"/>
${x.ticks.map(({ at, text }) => html`<text x="${at}" y="${bottom + 18}" text-anchor="middle">${text}</text>`)}
<text x="${(left + right) / 2}" y="${bottom + 40}" text-anchor="middle">${layout.xaxis.title.text}</text>
${first ? levelLabels(box, y, layout.yaxis.title.text) : ''}`;
}

function levelLabels({ left, top, bottom }: Box, y: Scale, title: string): Html {
  const middle = (top + bottom) / 2;
  return html`${y.ticks.map(({ at, text }) => {
    const lines = text.split('<br>');
    return html`<text y="${at + 4 - 7 * (lines.length - 1)}" text-anchor="end">${lines.map((line, i) => html`<tspan x="${left - 6}" dy="${i * 14}">${line}</tspan>`)}</text>`;
  })}<text transform="translate(14 ${middle}) rotate(-90)" text-anchor="middle">${title}</text>`;
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
  return html`<g style="${traceStyle(trace)}">${mode.includes('lines') ? html`<path d="${pathThrough(points)}" fill="none"/>` : ''}${marked.map((point) => markAt(symbol(point.i), point.x, point.y))}</g>`;
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
