import { rounded } from './figure.ts';

const DASHES = ['solid', 'dash', 'dot', 'dashdot', 'longdash', 'longdashdot'];
const SYMBOLS = [
  'circle',
  'square',
  'diamond',
  'triangle-up',
  'cross',
  'x',
  'triangle-down',
  'star',
  'hexagon',
  'pentagon',
];
/** Enough marks to tell curves apart, few enough to see the curve. */
const MARKS_ON_A_CURVE = 8;

interface CurveStyle {
  readonly mode: 'lines+markers';
  readonly line: { readonly color: string; readonly width: number; readonly dash: string };
  readonly marker: {
    readonly color: string;
    readonly size: number;
    readonly symbol: string;
    readonly maxdisplayed: number;
  };
}

/** The look of the i-th of several things: hue, dash and mark all differ, so that none is told by colour alone. */
export function seriesStyle(i: number, width = 1.5): CurveStyle {
  return curveStyle({ color: `--series-${i % 6}`, i, width });
}

/** The look of the i-th of n settings: the higher, the stronger; dash and mark differ as well. */
export function settingStyle(i: number, n: number): CurveStyle {
  const strength = n <= 1 ? 1 : i / (n - 1);
  return curveStyle({ color: `ramp(${strength.toFixed(2)})`, i, width: 1 + strength });
}

function curveStyle({ color, i, width }: { color: string; i: number; width: number }): CurveStyle {
  return {
    mode: 'lines+markers',
    line: { color, width: rounded(width), dash: DASHES[i % DASHES.length] },
    marker: { color, size: 6, symbol: SYMBOLS[i % SYMBOLS.length], maxdisplayed: MARKS_ON_A_CURVE },
  };
}
