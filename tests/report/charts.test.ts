import { describe, expect, it } from 'vitest';
import type { Results } from '../../src/model/results.ts';
import type { Chart, Trace } from '../../src/report/charts/figure.ts';
import { frequencyAxis, plotText, seriesStyle, settingStyle } from '../../src/report/charts/figure.ts';
import { chartGroups } from '../../src/report/charts.ts';
import { voltsToDbu } from '../../src/report/format.ts';
import { bassLossDb, exampleResults, exampleUntold, exampleWithLabel, SETTINGS } from './example-results.ts';

const results = exampleResults();
const charts = chartsOf(results);

describe('every picture', () => {
  it('covers what the report promises', () => {
    expect(chartGroups(results).map(({ id }) => id)).toEqual([
      'pictures-bass',
      'pictures-response',
      'pictures-sum',
      'pictures-level',
      'pictures-distortion',
      'pictures-chain',
      'pictures-noise',
    ]);
  });

  it('has an address of its own, a title and a table as wide as its head', () => {
    expect(new Set(charts.map(({ id }) => id)).size).toBe(charts.length);
    for (const { title, table } of charts) {
      expect(title).not.toBe('');
      expect(table.rows.length).toBeGreaterThan(0);
      expect(table.rows.every((row) => row.length === table.columns.length)).toBe(true);
    }
  });

  it('holds finite numbers or gaps, and as many abscissae as ordinates', () => {
    for (const { data } of figuresOf(charts)) {
      for (const { type, x, y, z } of data) {
        expect(
          [...x, ...y, ...(z ?? []).flat()].every(
            (value) => typeof value !== 'number' || Number.isFinite(value),
          ),
        ).toBe(true);
        if (type === 'scatter') expect(x.length).toBe(y.length);
      }
    }
  });

  it('shows only findings and recommendations that are there', () => {
    const ids = new Set([...results.findings, ...results.recommendations].map(({ id }) => id));
    expect(charts.flatMap(({ shows }) => shows).filter((id) => !ids.has(id))).toEqual([]);
  });

  it('tells its curves apart without colour: no two share both dash and mark', () => {
    for (const { data } of figuresOf(charts)) {
      const looks = data
        .filter(({ type, showlegend }) => type === 'scatter' && showlegend !== false)
        .map(lookOf);
      expect(new Set(looks).size).toBe(looks.length);
    }
    expect(new Set(Array.from({ length: 10 }, (_, i) => lookOf(settingStyle(i, 10)))).size).toBe(10);
    expect(new Set(Array.from({ length: 10 }, (_, i) => lookOf(seriesStyle(i)))).size).toBe(10);
  });

  it('leaves text of the user as text', () => {
    expect(plotText('<b>left</b> & <script>')).toBe('&lt;b&gt;left&lt;/b&gt; &amp; &lt;script&gt;');
    const named = chartsOf(exampleWithLabel('<a href="x">tap</a>'));
    const names = figuresOf(named).flatMap(({ data }) => data.map(({ name }) => name));
    expect(names.some((name) => name.includes('&lt;a href'))).toBe(true);
    expect(names.every((name) => !name.includes('<'))).toBe(true);
  });

  it('is left out where its findings are missing', () => {
    expect(chartGroups({ ...exampleUntold(), measurements: [] })).toEqual([]);
  });
});

describe('the frequency axis', () => {
  it('is logarithmic with the nominal octave frequencies of IEC 61260-1', () => {
    const { type, tickvals, ticktext } = frequencyAxis(18, 20_500);
    expect(type).toBe('log');
    expect(tickvals).toEqual([16, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16_000]);
    expect(ticktext?.slice(1, 3)).toEqual(['31.5', '63']);
    expect(ticktext?.at(-1)).toBe('16k');
  });
});

describe('the picture of responses', () => {
  it('lays the settings over one another, so that only the bass parts them', () => {
    const { data } = chart('response-5').figure;
    expect(data.map(({ name }) => name)).toEqual(SETTINGS.map((setting) => `setting ${setting}`));
    const spreadAt = (hz: number) => {
      const values = data.map((trace) => valueAt(trace, hz));
      return Math.max(...values) - Math.min(...values);
    };
    expect(spreadAt(1000)).toBeLessThan(0.01);
    expect(spreadAt(39.8)).toBeCloseTo(bassLossDb(38) / (1 + (39.8 / 60) ** 3), 1);
  });

  it('has gaps where the response is not trusted', () => {
    const [trace] = chart('response-1').figure.data;
    expect(trace.y[0]).toBeNull();
    expect(trace.y[trace.x.length - 5]).not.toBeNull();
  });
});

describe('the map of bass loss', () => {
  it('agrees with the shelf that the example was made with', () => {
    const [map] = chart('bass-map-5').figure.data;
    const row = (map.y as number[]).findIndex((hz) => Math.abs(hz - 39.81) < 0.1);
    const column = SETTINGS.indexOf(38);
    expect(map.z?.[row][column]).toBeCloseTo(-bassLossDb(38) / (1 + (39.81 / 60) ** 3), 1);
  });
});

describe('the picture of taps and their sum', () => {
  // Linkwitz-Riley 12 dB an octave, both ways round (Linkwitz, JAES 24(1), 1976): flat with one half inverted,
  // otherwise |1 - r^2| / (1 + r^2), which is -4.437 dB an octave below and a null at the corner.
  const wrongDb = (ratio: number) => 20 * Math.log10(Math.abs(1 - ratio * ratio) / (1 + ratio * ratio));
  const [sum, wrong] = chart('sum-1').figure.data;

  it('draws the hole of a 3 kHz crossover wired the wrong way round where it belongs', () => {
    expect(wrongDb(0.5)).toBeCloseTo(-4.43697, 5);
    for (const hz of [1000, 1496.236, 1995.262, 5011.872]) {
      expect(valueAt(wrong, hz)).toBeCloseTo(wrongDb(hz / 3000), 2);
    }
    const deepest = Math.min(...(wrong.y as number[]));
    expect(wrong.x[(wrong.y as number[]).indexOf(deepest)]).toBeGreaterThan(2900);
    expect(wrong.x[(wrong.y as number[]).indexOf(deepest)]).toBeLessThan(3100);
  });

  it('draws the sum as advised flat through the crossover', () => {
    for (const hz of [1000, 2985.383, 10_000]) expect(valueAt(sum, hz)).toBeCloseTo(0, 2);
  });

  it('applies the delay of a feed: a pair 100 microseconds apart nulls at 5 kHz', () => {
    const [feed] = results.recommendations.flatMap((item) =>
      item.kind === 'feed' && item.output === 'subwoofer' ? [item] : [],
    );
    const late = { ...feed, taps: feed.taps.map((tap, i) => ({ ...tap, delaySeconds: i * 1e-4 })) };
    const drawn = chartsOf({ ...results, recommendations: [late] }).find(({ id }) => id === 'sum-1') as Chart;
    const [trace] = drawn.figure.data;
    const below = (trace.x as number[]).filter((hz) => hz < 10_000).length;
    const levels = (trace.y as number[]).slice(0, below);
    const deepestHz = trace.x[levels.indexOf(Math.min(...levels))];
    expect(deepestHz).toBeGreaterThan(4900);
    expect(deepestHz).toBeLessThan(5100);
  });
});

describe('the picture of levels', () => {
  it('says the same in volts and in dBu', () => {
    const { figure, figureInDbu } = chart('volume-law');
    const inVolts = figure.data[0].y as number[];
    const inDbu = figureInDbu?.data[0].y as number[];
    inVolts.forEach((value, i) => {
      expect(inDbu[i]).toBeCloseTo(voltsToDbu(value), 1);
    });
  });

  it('marks the settings at which a full-scale tone clips, in the picture and in the table', () => {
    const { figure, table } = chart('volume-law');
    expect(figure.data[2].marker?.symbol).toEqual(
      SETTINGS.map((setting) => (setting >= 34 ? 'diamond-open' : 'diamond')),
    );
    expect(table.rows.filter((row) => row[3].endsWith('clips')).map(([setting]) => setting)).toEqual([
      '34',
      '38',
    ]);
  });

  it('falls back on full-scale units where there are no volts, and says so', () => {
    const uncalibrated = JSON.parse(JSON.stringify(results), (key, value) =>
      key === 'voltsRms' ? { notMeasurable: 'the recorder was not calibrated' } : value,
    ) as Results;
    const drawn = chartsOf(uncalibrated).find(({ id }) => id === 'volume-law') as Chart;
    expect(drawn.figureInDbu).toBeNull();
    expect(drawn.figure.layout.yaxis.title.text).toBe('Level in the recording, dBFS');
  });
});

function chartsOf(some: Results): Chart[] {
  return chartGroups(some).flatMap((group) => group.charts);
}

function figuresOf(some: readonly Chart[]) {
  return some.flatMap(({ figure, figureInDbu }) => (figureInDbu === null ? [figure] : [figure, figureInDbu]));
}

function chart(id: string): Chart {
  const found = charts.find((one) => one.id === id);
  if (found === undefined)
    throw new Error(`no picture ${id} among ${charts.map((one) => one.id).join(', ')}`);
  return found;
}

function lookOf({ line, marker }: Pick<Trace, 'line' | 'marker'>): string {
  return JSON.stringify([line?.dash, marker?.symbol]);
}

/** Value of a trace at the point nearest to a frequency; fails where there is none within half a percent. */
function valueAt({ x, y }: Trace, hz: number): number {
  const at = (x as number[]).findIndex((frequency) => Math.abs(frequency / hz - 1) < 0.005);
  if (at < 0) throw new Error(`no point at ${hz} Hz`);
  return y[at] as number;
}
