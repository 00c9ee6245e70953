import type { Trace } from '../charts/figure.ts';
import { type Html, html } from '../html.ts';

/** Outlines of marks of six pixels about the origin, by the names that the plotting library has for them. */
const OUTLINES: Readonly<Record<string, string>> = {
  circle: 'M3 0A3 3 0 1 1-3 0A3 3 0 1 1 3 0Z',
  square: 'M-3-3H3V3H-3Z',
  diamond: 'M0-4L4 0L0 4L-4 0Z',
  'triangle-up': 'M0-4L3.5 2L-3.5 2Z',
  'triangle-down': 'M0 4L3.5-2L-3.5-2Z',
  cross: 'M-1.2-3.6H1.2V-1.2H3.6V1.2H1.2V3.6H-1.2V1.2H-3.6V-1.2H-1.2Z',
  x: 'M0-1.7L1.7-3.4L3.4-1.7L1.7 0L3.4 1.7L1.7 3.4L0 1.7L-1.7 3.4L-3.4 1.7L-1.7 0L-3.4-1.7L-1.7-3.4Z',
  star: polygon(10, (i) => (i % 2 === 0 ? 4.2 : 1.7)),
  pentagon: polygon(5, () => 3.5),
  hexagon: polygon(6, () => 3.5),
  'line-ns': 'M0-8V8',
};

const HOLLOW = '-open';

/** A mark at a place; hollow where its name ends so. Its colour is that of what it stands in. */
export function markAt(name: string, x: number, y: number): Html {
  const hollow = name.endsWith(HOLLOW);
  const outline = OUTLINES[hollow ? name.slice(0, -HOLLOW.length) : name] ?? OUTLINES.circle;
  const fill = hollow ? 'var(--paper)' : 'currentColor';
  return html`<path d="${outline}" transform="translate(${x} ${y})" style="fill:${fill};stroke-width:1;stroke-dasharray:none"/>`;
}

/** What the plotting library draws for its names of dashes, in pixels. */
const DASHES: Readonly<Record<string, string>> = {
  dash: '9 9',
  dot: '3 3',
  dashdot: '9 3 3 3',
  longdash: '15 6',
  longdashdot: '15 4 3 4',
};

/** Colour, width and dash of a trace, for everything that is drawn of it. */
export function traceStyle({ line, marker }: Trace): string {
  const color = cssColor(line?.color ?? marker?.color ?? '--ink');
  const width = line?.width ?? marker?.line?.width ?? 1.5;
  const dash = DASHES[line?.dash ?? ''];
  return `color:${color};stroke-width:${width}${dash === undefined ? '' : `;stroke-dasharray:${dash}`}`;
}

/** Names of colours in figures as the style sheet has them: a property, or a shade between the ends of the ramp. */
export function cssColor(name: string): string {
  const share = /^ramp\(([\d.]+)\)$/.exec(name)?.[1];
  if (share === undefined) return `var(${name})`;
  return `color-mix(in srgb,var(--ramp-high) ${Math.round(Number(share) * 100)}%,var(--ramp-low))`;
}

function polygon(corners: number, radius: (i: number) => number): string {
  const points = Array.from({ length: corners }, (_, i) => {
    const angle = (2 * Math.PI * i) / corners;
    return `${(radius(i) * Math.sin(angle)).toFixed(1)} ${(-radius(i) * Math.cos(angle)).toFixed(1)}`;
  });
  return `M${points.join('L')}Z`;
}
