import type { Sentence } from '../sentence.ts';

/**
 * A picture as data, in the shape that Plotly draws. Colours are names that the page resolves when it draws, so that
 * one picture serves light, dark and paper: `--ink` is a property of the style sheet, `ramp(0.4)` a shade between its
 * `--ramp-low` and `--ramp-high`.
 */
export interface Figure {
  readonly data: readonly Trace[];
  readonly layout: Layout;
}

export interface Chart {
  readonly id: string;
  readonly title: string;
  /** What to see in it; empty where the group's lead has said it. */
  readonly caption: Sentence;
  readonly figure: Figure;
  /** The same with voltages in dBu; null where it shows none. */
  readonly figureInDbu: Figure | null;
  /** The same numbers for those who cannot see it: one table, or one for each tap of a picture that stands for several. */
  readonly tables: readonly ChartTable[];
  /** Findings and recommendations that this picture is evidence of. */
  readonly shows: readonly string[];
}

export interface ChartTable {
  /** Whose numbers they are, where a picture has several tables. */
  readonly name?: string;
  /** What was left out of it. */
  readonly note?: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

type Coordinate = number | string | null;

export interface Trace {
  readonly type: 'scatter' | 'contour';
  readonly name: string;
  /** Which of the picture's panels it is drawn in, counted from 0; the first where it is not given. */
  readonly panel?: number;
  readonly x: readonly Coordinate[];
  readonly y: readonly Coordinate[];
  readonly z?: readonly (readonly (number | null)[])[];
  readonly mode?: 'lines' | 'markers' | 'lines+markers' | 'markers+text' | 'text';
  readonly line?: {
    readonly color?: string;
    readonly width?: number;
    readonly dash?: string;
    readonly smoothing?: number;
  };
  readonly marker?: {
    readonly color?: string;
    readonly size?: number;
    readonly symbol?: string | readonly string[];
    readonly maxdisplayed?: number;
    readonly line?: { readonly color: string; readonly width: number };
  };
  readonly text?: readonly string[];
  readonly textposition?: string;
  readonly error_y?: {
    readonly type: 'data';
    readonly array: readonly (number | null)[];
    readonly thickness: number;
  };
  readonly hovertemplate?: string;
  readonly hoverinfo?: 'skip';
  readonly legendgroup?: string;
  readonly showlegend?: boolean;
  readonly showscale?: boolean;
  readonly connectgaps?: boolean;
  readonly contours?: Readonly<Record<string, unknown>>;
  readonly ncontours?: number;
  readonly colorscale?: readonly (readonly [number, string])[];
}

export interface Axis {
  readonly title: { readonly text: string };
  readonly type?: 'log' | 'linear' | 'category';
  readonly range?: readonly [number, number];
  readonly tickvals?: readonly (number | string)[];
  readonly ticktext?: readonly string[];
  readonly autorange?: 'reversed' | true;
  readonly dtick?: number | string;
  readonly automargin?: boolean;
}

export interface Layout {
  /** Titles of panels side by side, each with the axes and shapes of this layout; a narrow page puts them below one another. */
  readonly panels?: readonly string[];
  readonly xaxis: Axis;
  readonly yaxis: Axis;
  readonly height: number;
  readonly hovermode: 'x unified' | 'closest';
  readonly shapes?: readonly Shape[];
  readonly annotations?: readonly Annotation[];
  readonly showlegend: boolean;
}

export interface Shape {
  readonly type: 'line' | 'rect';
  readonly xref: 'x' | 'paper';
  readonly yref: 'y' | 'paper';
  readonly x0: number;
  readonly x1: number;
  readonly y0: number;
  readonly y1: number;
  readonly line: { readonly color: string; readonly width: number; readonly dash?: string };
  readonly fillcolor?: string;
  readonly layer: 'below';
}

interface Annotation {
  readonly xref: 'x' | 'paper';
  readonly yref: 'y' | 'paper';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly showarrow: false;
  readonly xanchor: 'left' | 'right' | 'center';
  readonly yanchor: 'top' | 'bottom' | 'middle';
}

/**
 * Nominal octave midband frequencies (IEC 61260-1). Narrow pages drop every second one by themselves.
 */
const OCTAVES_HZ = [16, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000];

export function frequencyAxis(fromHz: number, toHz: number): Axis {
  return {
    title: { text: 'Frequency, Hz' },
    type: 'log',
    range: [rounded(Math.log10(fromHz)), rounded(Math.log10(toHz))],
    tickvals: OCTAVES_HZ,
    ticktext: OCTAVES_HZ.map((hz) => (hz < 1000 ? String(hz) : `${hz / 1000}k`)),
  };
}

export function settingAxis(settings: readonly number[]): Axis {
  return { title: { text: 'Volume setting' }, tickvals: settings, ticktext: settings.map(String) };
}

/** Text for Plotly, which reads a few tags and entities in it: a tap called `<b>` keeps its name. */
export function plotText(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}

/** Thousandths are finer than any line; they keep the page small and the same on every machine. */
export function rounded(value: number): number {
  const thousandths = Math.round(value * 1000) / 1000;
  return Object.is(thousandths, -0) ? 0 : thousandths;
}

/** A point of a curve, or a gap. */
export function roundedOrNull(value: number | null): number | null {
  return value === null ? null : rounded(value);
}

/** Marks of a logarithmic axis in volts. */
export const VOLT_TICKS = [0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100];
