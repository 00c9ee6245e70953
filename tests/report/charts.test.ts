import { describe, expect, it } from 'vitest';
import type { Results } from '../../src/model/results.ts';
import { seriesStyle, settingStyle } from '../../src/report/charts/curve-style.ts';
import type { Chart, Trace } from '../../src/report/charts/figure.ts';
import { frequencyAxis, plotText } from '../../src/report/charts/figure.ts';
import { chartGroups } from '../../src/report/charts.ts';
import { voltsToDbu } from '../../src/report/format.ts';
import { plainText } from '../../src/report/sentence.ts';
import {
  bassLossDb,
  exampleNotKnown,
  exampleResults,
  exampleWithLabel,
  SETTINGS,
} from './example-results.ts';

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
      'pictures-noise',
    ]);
  });

  it('has an address of its own, a title and a table as wide as its head', () => {
    expect(new Set(charts.map(({ id }) => id)).size).toBe(charts.length);
    for (const { title, tables } of charts) {
      expect(title).not.toBe('');
      expect(tables.length).toBeGreaterThan(0);
      for (const { rows, columns } of tables) {
        expect(rows.length).toBeGreaterThan(0);
        expect(rows.every((row) => row.length === columns.length)).toBe(true);
      }
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

  it('does not spread thousandths of a decibel over the whole height of the bass', () => {
    const findings = results.findings.map((finding) =>
      finding.kind === 'bass-change'
        ? {
            ...finding,
            verdict: 'steady' as const,
            onset: null,
            changes: finding.changes.map((change) => ({
              ...change,
              changeDb: change.changeDb.map(() => ({ value: 0.001, plusMinus: 0.0005 })),
            })),
          }
        : finding,
    );
    const [steady] = chartsOf({ ...results, findings }).filter(({ title }) =>
      title.startsWith('How much bass'),
    );
    expect(steady.figure.layout.yaxis?.range).toEqual([-1, 1]);
    const [falling] = charts.filter(({ title }) => title.startsWith('How much bass'));
    expect(falling.figure.layout.yaxis?.range).toBeUndefined();
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

  it('lays the curves of an output of bass alone where each lost least: a loss is no added treble', () => {
    // Bass alone, below 120 Hz; 6 dB lost at 40 Hz from setting 30 on, nothing from 80 Hz up.
    const bass = (setting: number) =>
      [...results.frequencyHz].map(
        (hz) => -24 * Math.max(0, Math.log2(hz / 120)) - (setting < 30 || hz > 60 ? 0 : 6),
      );
    const measurements = results.measurements
      .filter(({ tapId }) => tapId === 'rear-l')
      .map((one) => ({ ...one, left: { ...one.left, magnitudeDb: bass(one.setting) } }));
    const { figure } = chartsOf({ ...results, measurements }).find(({ id }) => id === 'response-5') as Chart;
    const at = (name: RegExp, hz: number) => {
      const trace = figure.data.find((one) => name.test(one.name)) as Trace;
      return trace.y[trace.x.findIndex((x) => Number(x) >= hz)];
    };
    expect(at(/30|38/, 80)).toBeCloseTo(Number(at(/10/, 80)), 1);
    expect(at(/30|38/, 40)).toBeCloseTo(Number(at(/10/, 40)) - 6, 1);
  });

  it('is left out where its findings are missing', () => {
    expect(chartGroups({ ...exampleNotKnown(), measurements: [] })).toEqual([]);
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
  it('lays the settings over one another, so that only the bass parts them, and draws equal ones once', () => {
    const { data } = chart('response-5').figure;
    // The example loses nothing up to setting 20, and at least half a decibel from each setting to the next above it.
    expect(data.map(({ name }) => name)).toEqual([
      'settings 10 to 18',
      ...[22, 26, 30, 34, 38].map((setting) => `setting ${setting}`),
    ]);
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
    const [map] = chart('bass-map-3').figure.data;
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

  it('draws each tap against the sum that the plan holds in volts: 0 dB in its own band, the crossover at its edge', () => {
    // 6.85 V for full scale at setting 30 (`example-results.ts`); the two halves add to a flat sum.
    const sumDb = results.frequencyHz.map(() => 20 * Math.log10(6.85));
    const recommendations = results.recommendations.map((item) =>
      item.kind === 'feed' && item.output === 'front' ? { ...item, sumDb } : item,
    );
    const drawn = chartsOf({ ...results, recommendations }).find(({ id }) => id === 'sum-1') as Chart;
    const [advised, , door, dash] = drawn.figure.data;
    expect(valueAt(advised, 1000)).toBeCloseTo(0, 2);
    expect(valueAt(dash, 15_848.932)).toBeCloseTo(-20 * Math.log10(1 + (3 / 15.848932) ** 2), 1);
    // The radio has taken 6 dB of shelf below 60 Hz at this setting.
    expect(valueAt(door, 501.187)).toBeCloseTo(-20 * Math.log10(1 + (0.501187 / 3) ** 2), 1);
    const corner = (2985.383 / 3000) ** 2;
    expect(valueAt(dash, 2985.383)).toBeCloseTo(20 * Math.log10(corner / (1 + corner)), 2);
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

describe('a picture for several taps', () => {
  it('stands for pairs that agree and says how nearly, with a table for each tap', () => {
    const { title, caption, tables } = chart('response-3');
    expect(title).toBe('What comes out? Door left and door right');
    expect(plainText(caption)).toBe('Drawn for door left; door right lies within 0.1 dB.');
    expect(tables.map(({ name }) => name)).toEqual(['door left', 'door right']);
    expect(charts.map(({ id }) => id)).not.toContain('response-4');
  });

  it('is two pictures again where one setting of one tap differs by more than half a decibel', () => {
    const measurements = results.measurements.map((one) =>
      one.tapId === 'door-r' && one.setting === 38
        ? {
            ...one,
            right: {
              ...one.right,
              magnitudeDb: one.right.magnitudeDb.map((db, i) => db - (i < 160 ? 0.8 : 0)),
            },
          }
        : one,
    );
    const titles = chartsOf({ ...results, measurements }).map(({ title }) => title);
    expect(titles).toContain('What comes out? Door left');
    expect(titles).toContain('What comes out? Door right');
  });

  it('keeps every tap in reach: its name stands over a table of every subject', () => {
    const names = chartGroups(results)
      .filter(({ id }) => id === 'pictures-response')
      .flatMap((group) => group.charts.flatMap(({ tables }) => tables.map(({ name }) => name)));
    expect([...names].sort()).toEqual(results.session.taps.map(({ label }) => label).sort());
  });
});

describe('the picture of restoration', () => {
  it('shows the bass of each setting before and after, as the plan predicts it', () => {
    const [restoration] = results.recommendations.flatMap((item) =>
      item.kind === 'restoration' ? [item] : [],
    );
    const predicted = {
      frequencyHz: [31.623, 63.096, 125.893],
      settings: [
        { setting: 18, beforeDb: [0, 0, 0], afterDb: [0, 0, 0] },
        { setting: 30, beforeDb: [-6, -3, -1], afterDb: [0, -0.5, 0] },
      ],
    };
    const drawn = chartsOf({ ...results, recommendations: [{ ...restoration, predicted }] });
    const { figure, shows } = drawn.find(({ id }) => id === 'restoration-before-after') as Chart;
    expect(figure.layout.panels).toHaveLength(2);
    expect(figure.data.map(({ name, panel, y }) => [name, panel, y])).toEqual([
      ['setting 18', 0, [0, 0, 0]],
      ['setting 30', 0, [-6, -3, -1]],
      ['setting 18', 1, [0, 0, 0]],
      ['setting 30', 1, [0, -0.5, 0]],
    ]);
    expect(shows).toEqual([restoration.id]);
  });

  it('is left out where nothing is to be restored', () => {
    expect(chartsOf({ ...results, recommendations: [] }).map(({ id }) => id)).not.toContain(
      'restoration-before-after',
    );
  });
});

describe('the picture of distortion', () => {
  const { figure, tables, caption } = chart('distortion-5');

  it('has a panel for each tone that shows distortion, and says which tones show none', () => {
    // The example loses 10.8 dB of its bass at 38: 55 Hz stays below the rail.
    expect(figure.layout.panels?.map((title) => title.split(/[,:]/)[0])).toEqual(['997 Hz']);
    expect(plainText(caption)).toContain('At 55 Hz nothing stands above the noise.');
    expect(tables.map(({ name }) => name)).toContain('rear left, 997 Hz');
    expect(tables.map(({ name }) => name)).not.toContain('rear left, 55 Hz');
  });

  it('leaves out what is noise: settings that never clip have no curve', () => {
    // The rail of 12.6 V peak is reached by a full-scale sine of 8.9 V, which is setting 32.3.
    expect([...new Set(figure.data.map(({ name }) => name))]).toEqual(['setting 34', 'setting 38']);
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
    const { figure, tables } = chart('volume-law');
    const [table] = tables;
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
