import type { Figure, Trace } from '../charts/figure.ts';
import { Html, html } from '../html.ts';
import { cssColor } from './marks.ts';
import { type Scale, scaleOf } from './scale.ts';

/** More curves than this end too near one another to be named there. */
const MOST_CURVES = 6;
const LONGEST_NAME = 20;
const SIGN_PX = 6.2;
const LEADER_PX = 14;
const LINE_PX = 13;
/** Curves that end nearer to one another cannot be told by a name beside them. */
const LEAST_APART_PX = 5;

interface EndLabels {
  /** Room that they take at the right of a picture, in pixels; 0 where a legend names the curves. */
  readonly width: number;
  readonly drawn: (traces: readonly Trace[], x: Scale, y: Scale, box: Frame) => Html;
}

interface Frame {
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Names at the ends of the curves; a legend instead where they are many, long, or shared by several panels. */
export function endLabels({ data, layout }: Figure): EndLabels {
  const named = data.filter(isNamed);
  const longest = Math.max(0, ...named.map(({ name }) => textLength(name)));
  if (!fitAtEnds({ data, layout })) return { width: 0, drawn: () => html`` };
  return {
    width: Math.ceil(longest * SIGN_PX) + LEADER_PX,
    drawn: (traces, x, y, box) =>
      html`${spread(ends(traces, x, y, box), box).map(
        ({ name, color, from, at, to }) =>
          html`<path d="M${from + 2} ${at}L${box.right + LEADER_PX - 3} ${to}" class="leader"/><text x="${box.right + LEADER_PX}" y="${to + 4}" style="fill:${color}">${new Html(name)}</text>`,
      )}`,
  };
}

/** Whether the curves of a figure are named at their ends, so that it needs no legend. */
export function fitAtEnds({ data, layout }: Figure): boolean {
  const named = data.filter(isNamed);
  const y = scaleOf(
    layout.yaxis,
    data.flatMap((trace) => trace.y),
    [layout.height, 0],
  );
  const frame = { right: 0, top: 0, bottom: layout.height };
  const places = ends(data, { at: () => 0, ticks: [] }, y, frame)
    .map(({ at }) => at)
    .sort((a, b) => a - b);
  const close = places.filter((at, i) => i > 0 && at - places[i - 1] < LEAST_APART_PX).length;
  return (
    places.length === named.length &&
    close * 2 <= places.length - 1 &&
    layout.showlegend &&
    (layout.panels?.length ?? 1) === 1 &&
    named.length <= MOST_CURVES &&
    named.every(
      ({ name, mode, type }) => type === 'scatter' && mode !== 'markers' && textLength(name) <= LONGEST_NAME,
    )
  );
}

function isNamed({ showlegend }: Trace): boolean {
  return showlegend !== false;
}

/** Names in figures are escaped: an entity is one sign. */
function textLength(name: string): number {
  return name.replace(/&\w+;/g, '.').length;
}

interface End {
  readonly name: string;
  readonly color: string;
  /** Where the curve ends. */
  readonly from: number;
  readonly at: number;
}

/** The last place of each curve within the frame. */
function ends(traces: readonly Trace[], x: Scale, y: Scale, { top, bottom }: Frame): End[] {
  return traces.filter(isNamed).flatMap((trace) => {
    const last = trace.x.findLastIndex((value, i) => {
      const level = trace.y[i];
      if (value === null || level === null) return false;
      return y.at(level) >= top && y.at(level) <= bottom;
    });
    if (last < 0) return [];
    return [
      {
        name: trace.name,
        color: cssColor(trace.line?.color ?? '--ink'),
        from: x.at(trace.x[last] as number | string),
        at: y.at(trace.y[last] as number | string),
      },
    ];
  });
}

/** From above down, a line apart; pushed up again where they would leave the frame at its foot. */
function spread(list: readonly End[], { top, bottom }: Frame): (End & { to: number })[] {
  const sorted = [...list]
    .sort((a, b) => a.at - b.at)
    .map((end) => ({ ...end, to: Math.min(bottom, Math.max(top, end.at)) }));
  for (let i = 1; i < sorted.length; i++) sorted[i].to = Math.max(sorted[i].to, sorted[i - 1].to + LINE_PX);
  for (let i = sorted.length - 1, least = bottom; i >= 0; i--, least -= LINE_PX)
    sorted[i].to = Math.min(sorted[i].to, least);
  return sorted;
}
