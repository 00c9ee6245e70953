import type { Axis } from '../charts/figure.ts';

/** From the values of an axis to pixels. */
export interface Scale {
  readonly at: (value: number | string) => number;
  readonly ticks: readonly { readonly at: number; readonly text: string }[];
}

/** Room beside the outermost points, as a share of the span. */
const ROOM = 0.06;

/**
 * @param values what is drawn along the axis; it spans them where it has no range of its own
 * @param pixels where the axis begins and ends
 * @param room beside the outermost values, as a share of their span
 */
export function scaleOf(
  axis: Axis,
  values: readonly (number | string | null)[],
  pixels: readonly [number, number],
  room = ROOM,
): Scale {
  const names = [...new Set(values.filter((value) => typeof value === 'string'))];
  const placed = (value: number | string) => {
    if (typeof value === 'string') return names.indexOf(value);
    return axis.type === 'log' ? Math.log10(value) : value;
  };
  const [from, to] =
    axis.range ??
    span(
      values.flatMap((value) => (value === null ? [] : placed(value))),
      room,
    );
  const [start, end] = axis.autorange === 'reversed' ? [to, from] : [from, to];
  const at = (value: number | string) => {
    const share = (placed(value) - start) / (end - start);
    return Math.round((pixels[0] + share * (pixels[1] - pixels[0])) * 10) / 10;
  };
  const marks = axis.tickvals ?? counted(from, to, typeof axis.dtick === 'number' ? axis.dtick : null);
  const seen = marks.map((mark, i) => ({
    mark,
    text: axis.ticktext?.[i] ?? String(mark).replace('-', '\u2212'),
  }));
  return {
    at,
    ticks: seen
      .filter(({ mark }) => placed(mark) >= from - 1e-9 && placed(mark) <= to + 1e-9)
      .map(({ mark, text }) => ({ at: at(mark), text })),
  };
}

function span(values: readonly number[], share: number): [number, number] {
  if (values.length === 0) return [0, 1];
  const lowest = values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY);
  const highest = values.reduce((most, value) => Math.max(most, value), Number.NEGATIVE_INFINITY);
  const room = (highest - lowest || 1) * share;
  return [lowest - room, highest + room];
}

/** Round numbers in steps of 1, 2 or 5, five to ten of them. */
function counted(from: number, to: number, given: number | null): number[] {
  const rough = (to - from) / 6;
  const decade = 10 ** Math.floor(Math.log10(rough));
  const step = given ?? [1, 2, 5, 10].map((times) => times * decade).find((one) => one >= rough) ?? rough;
  const first = Math.ceil(from / step);
  const last = Math.floor(to / step);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) =>
    Number(((first + i) * step).toPrecision(6)),
  );
}
