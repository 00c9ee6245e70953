import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { jsonText } from '../../src/model/json-text.ts';
import { packNumbers, unpackNumbers } from '../../src/model/packed-numbers.ts';
import type { Results } from '../../src/model/results.ts';
import { readResultsText, resultsFileSchema, resultsText } from '../../src/model/results-file.ts';
import { exampleResults } from '../report/example-results.ts';
import { thrown } from '../thrown.ts';

/** Above the number from which a file is packed. */
const MANY = 256;
const hash = { sha256Hex: (text: string) => createHash('sha256').update(text).digest('hex') };
const read = (text: string) => readResultsText({ text, where: 'results.json' }, hash);
const results = exampleResults();
const text = resultsText(results, hash);

/** The file as it would be without a checksum, changed. */
function changed(change: (file: Record<string, unknown> & Results) => void): string {
  const { checksum: _, ...file } = JSON.parse(text);
  change(file);
  return JSON.stringify(file);
}

it('gives back what was written, to seven digits', () => {
  expect(read(text)).toEqual(JSON.parse(JSON.stringify(results), sevenDigits));
});

it('is the same text where engines differ, by 3e-11 of a number or by 1e-15 of what is left of two', () => {
  const numbers = [0.925714285714, 1.15858416e-7, 6.5280357e-6, 19_953.123456, -31.25, 4e-13, 0];
  const other = numbers.map((value, i) => value * (1 + 2e-11 * (-1) ** i) + 1e-15);
  expect(jsonText(other)).toBe(jsonText(numbers));
  expect(jsonText(numbers)).toBe('[0.9257143,1.15858e-7,0.000006528036,19953.12,-31.25,0,0]');
});

it('says when a file was damaged or edited, at whatever place, and not when it was only laid out anew', () => {
  expect(() => read(JSON.stringify(JSON.parse(text), null, 2))).not.toThrow();
  for (let at = text.indexOf('5', 1000); at > 0; at = text.indexOf('5', at + 50_000)) {
    const edited = `${text.slice(0, at)}6${text.slice(at + 1)}`;
    expect(thrown(() => read(edited)).parts.found).toBe('results that do not match it');
  }
});

it('reads clean settings from files in which each clipping finding of a tap held them', () => {
  const now = read(text).findings;
  const older = read(
    changed((file) => {
      const clean = file.findings.filter((one) => one.kind === 'clean-settings');
      const withThem = file.findings.flatMap((one) => {
        if (one.kind === 'clean-settings') return [];
        const own = clean.find(({ tapIds }) => tapIds[0] === one.tapIds[0]);
        if (one.kind !== 'clipping' || own === undefined) return [one];
        const { kind: _, id: _id, evidence: _evidence, settings: _settings, notKnown, ...fields } = own;
        const copied = { ...one, ...fields, ...(notKnown === undefined ? {} : { untold: notKnown }) };
        return [copied, { ...copied, id: `${one.id} of another tone`, perSetting: [] }];
      });
      Object.assign(file, { findings: withThem });
    }),
  ).findings;
  const [kinds, others] = [now, older].map((all) => all.map(({ kind }) => kind).sort());
  expect(others).toEqual([...kinds, 'clipping'].sort());
  const cleanOf = (all: typeof now) =>
    all.flatMap((one) => (one.kind === 'clean-settings' ? [{ ...one, id: null, evidence: null }] : []));
  expect(cleanOf(older)).toEqual(cleanOf(now));
  expect(cleanOf(now)[0]).toMatchObject({ highestCleanRecorded: 30, firstClippingRecorded: 34 });
});

it('reads the files of older versions, which have no checksum', () => {
  expect(read(changed(() => {})).measurements).toHaveLength(results.measurements.length);
});

it.each<[string, readonly (string | number)[], unknown, RegExp]>([
  ['no measurement', ['measurements'], [], /measurements: expected at least one/],
  ['a tap that is not there', ['measurements', 0, 'tapId'], 'roof', /measurements\.0\.tapId.*'roof'/],
  ['a setting that is not there', ['measurements', 1, 'setting'], 99, /measurements\.1\.setting.*99/],
  ['a short curve', ['measurements', 0, 'left', 'magnitudeDb'], [1], /magnitudeDb: expected 529 .*found 1\./],
  ['no phases', ['measurements', 0, 'right', 'phaseDegrees'], [], /right\.phaseDegrees.*found 0/],
  ['other frequencies', ['frequencyHz', 3], 12, /frequencyHz/],
  ['a range that falls', ['measurements', 0, 'left', 'trustedHz'], [100, 50], /trustedHz.*100 to 50/],
  ['a finding on nothing', ['findings', 0, 'tapIds'], ['roof'], /findings\.0\.tapIds.*'roof'/],
])('holds a file to itself: %s', (_, path, value, says) => {
  const last = path[path.length - 1];
  const error = thrown(() =>
    read(
      changed((file) => {
        const parent = path
          .slice(0, -1)
          .reduce<unknown>((at, key) => (at as Record<string, unknown>)[key], file);
        (parent as Record<string, unknown>)[last] = value;
      }),
    ),
  );
  expect(error.code).toBe('usage');
  expect(error.message).toMatch(says);
});

it('writes no number that is none', () => {
  const spoilt = structuredClone(results);
  spoilt.measurements[0].left.magnitudeDb[7] = Number.NaN;
  expect(() => resultsText(spoilt, hash)).toThrow('a number that is none');
  const many = manyMeasurements(200);
  many.measurements[3].ladders[0].steps[2].thd = Number.POSITIVE_INFINITY;
  expect(() => resultsText(many, hash)).toThrow(RangeError);
});

it('keeps many measurements in little, within the steps that it states', () => {
  const many = manyMeasurements(MANY);
  const packed = resultsText(many, hash);
  expect(packed.length).toBeLessThan((MANY / 1024) * 12e6);
  resultsFileSchema.parse(JSON.parse(packed));
  const again = read(packed);
  expect(again.measurements).toHaveLength(MANY);
  for (const i of [0, 117, MANY - 1]) {
    const [was, is] = [many.measurements[i], again.measurements[i]];
    for (const side of ['left', 'right'] as const) {
      const isTrusted = was[side].trustedHz !== null;
      expect(apart(was[side].magnitudeDb, is[side].magnitudeDb)).toBeLessThan(isTrusted ? 0.000501 : 0.251);
      expect(apart(was[side].phaseDegrees, is[side].phaseDegrees)).toBeLessThan(isTrusted ? 0.00501 : 2.51);
    }
    for (const [l, ladder] of was.ladders.entries()) {
      const back = is.ladders[l];
      expect(back.steps.map(({ driveDbFs }) => driveDbFs)).toEqual(
        ladder.steps.map(({ driveDbFs }) => driveDbFs),
      );
      for (const [s, step] of ladder.steps.entries()) {
        expect(Math.abs(back.steps[s].levelDbFs - step.levelDbFs)).toBeLessThanOrEqual(0.000501);
        expect(Math.abs(back.steps[s].thd - step.thd)).toBeLessThanOrEqual(0.00051 * step.thd + 1e-9);
        expect(back.steps[s].harmonics).toHaveLength(step.harmonics.length);
        expect(back.steps[s].thdBeforeFilters === null).toBe(step.thdBeforeFilters === null);
      }
    }
  }
});

it('packs any series, and refuses a text that it did not write', () => {
  const series = [0, -0.5, 1e6, -1e6, 3.25, 3.25, 3.25];
  expect(unpackNumbers(packNumbers(series, 0.25), 0.25)).toEqual(series);
  expect(unpackNumbers(packNumbers([5, -10, 360], 5), 5)).toEqual([5, -10, 360]);
  expect(unpackNumbers('', 1)).toEqual([]);
  expect(unpackNumbers('A.B', 1)).toBe(null);
  expect(unpackNumbers('g', 1)).toBe(null); // ends where more must follow
  expect(unpackNumbers('_'.repeat(40), 1)).toBe(null);
});

function manyMeasurements(count: number): Results {
  const settings = Array.from({ length: count }, (_, i) => i);
  return {
    ...results,
    session: { ...results.session, settings },
    measurements: settings.map((setting) => ({
      ...structuredClone(results.measurements[setting % results.measurements.length]),
      setting,
    })),
  };
}

function apart(a: readonly number[], b: readonly number[]): number {
  return a.reduce((most, value, i) => {
    const turns = Math.round((value - b[i]) / 360);
    return Math.max(most, Math.abs(value - b[i] - 360 * turns));
  }, 0);
}

function sevenDigits(_: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value)
    ? Number(Number(value.toPrecision(7)).toFixed(12))
    : value;
}
