import { expect, it } from 'vitest';
import { takeRows } from '../../src/report/take-rows.ts';
import { exampleResults } from './example-results.ts';

const results = exampleResults();

it('makes one row of a playing of the track, with the channels that were used, by file and time', () => {
  const rows = takeRows(results);
  expect(rows).toHaveLength(24);
  expect(rows.map(({ number, anchor }) => `take-${number}` === anchor)).not.toContain(false);
  expect(rows[0].evidence).toMatchObject({ file: 'dash pair.wav', setting: 10 });
  expect(rows[0].channels.map(({ evidence, measurement }) => [evidence.channel, measurement.tapId])).toEqual([
    [1, 'dash-l'],
    [2, 'dash-r'],
  ]);
  const starts = rows.slice(0, 8).map(({ evidence }) => evidence.takeStartSeconds);
  expect([...starts].sort((a, b) => a - b)).toEqual(starts);
});

it('gives a repeat of a setting a row of its own', () => {
  const [first, ...others] = results.measurements;
  const again = { ...first.evidence[0], takeStartSeconds: 999 };
  const repeated = { ...first, evidence: [...first.evidence, again] };
  expect(takeRows({ ...results, measurements: [repeated, ...others] })).toHaveLength(25);
});
