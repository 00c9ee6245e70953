import { describe, expect, it } from 'vitest';
import type { Chart, Trace } from '../../../src/report/charts/figure.ts';
import { frequencyAxis } from '../../../src/report/charts/figure.ts';
import { chartGroups } from '../../../src/report/charts.ts';
import { plainText } from '../../../src/report/sentence.ts';
import { bassLossDb, SETTINGS } from '../example-results.ts';
import { chart, charts, chartsOf, results } from './charts-of.ts';

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

/** Value of a trace at the point nearest to a frequency; fails where there is none within half a percent. */
function valueAt({ x, y }: Trace, hz: number): number {
  const at = (x as number[]).findIndex((frequency) => Math.abs(frequency / hz - 1) < 0.005);
  if (at < 0) throw new Error(`no point at ${hz} Hz`);
  return y[at] as number;
}
