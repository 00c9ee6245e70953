import { describe, expect, it } from 'vitest';
import type { Results } from '../../../src/model/results.ts';
import type { Chart } from '../../../src/report/charts/figure.ts';
import { voltsToDbu } from '../../../src/report/format.ts';
import { plainText } from '../../../src/report/sentence.ts';
import { SETTINGS } from '../example-results.ts';
import { chart, chartsOf, results } from './charts-of.ts';

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
