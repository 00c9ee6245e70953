import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { replanCommand } from '../../cli/replan.ts';
import { jsonText } from '../../src/model/json-text.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { type Results, resultsSchema } from '../../src/model/results.ts';
import type { PlanComparison } from '../../src/recommend/compare-plans.ts';
import { resultsOf } from '../recommend/results-of.ts';
import { FULL_RANGE, pair, planInput } from '../recommend/synthetic.ts';

let folder: string;
let resultsFile: string;
const place = (name: string) => join(folder, name);

/** What `analyse` wrote two years ago for a radio with two flat taps and a small woofer. */
function savedResults(): Results {
  const input = planInput({
    taps: pair('front', { band: FULL_RANGE }),
    settings: [20, 24, 28, 32],
    volts: { at: 30, rms: 6.85 },
    railVoltsPeak: 12.6,
    equipment: {
      amplifiers: [{ feeds: ['subwoofer'], ratedWatts: 200 }],
      woofer: { areaCm2: 210, peakTravelMm: 9 },
    },
  });
  return resultsOf(input);
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-plan-'));
  resultsFile = place('old.json');
  writeFileSync(resultsFile, JSON.stringify(savedResults()));
  writeFileSync(
    place('larger.yaml'),
    'amplifiers: [{ feeds: [subwoofer], ratedWatts: 1000 }]\nwoofer: { areaCm2: 480, peakTravelMm: 14 }\n',
  );
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const plan = (more: { equipmentFile: string; resultsFile?: string; outFolder?: string }) =>
  replanCommand({ resultsFile, outFolder: place('out'), force: false, ...more }, () => {});

it('plans for a larger woofer and amplifier from the results alone, and says what changes and what stays', async () => {
  const { text, data } = await plan({ equipmentFile: place('larger.yaml') });
  const { stays, changes } = (data as { comparison: PlanComparison }).comparison;
  expect(stays).toContain('feed-subwoofer');
  const gain = changes.find(({ id }) => id === 'amplifier-gain-subwoofer');
  expect(gain?.fields).toEqual(['wattsAtLoad', 'fullOutputVoltsRms', 'targets']);
  expect(text).toMatch(/\(Was: [\d.]+ V /);
  expect(text).toMatch(/same: front left at setting 24, 100 Hz at 0 dBFS, [\d.]+ V/);
  const written = resultsSchema.parse(JSON.parse(readFileSync(join(place('out'), 'results.json'), 'utf8')));
  // 1000 W into 4 ohm is 63.2456 V (closed form).
  expect(recommendationsOf(written.recommendations, 'amplifier-gain')[0].fullOutputVoltsRms).toBeCloseTo(
    63.2456,
    3,
  );
  expect(written.findings).toEqual(JSON.parse(jsonText(savedResults().findings)));
  expect(existsSync(join(place('out'), 'report.html'))).toBe(true);
});

it('overwrites nothing without being asked', async () => {
  writeFileSync(place('occupied'), '');
  await expect(
    plan({ equipmentFile: place('larger.yaml'), outFolder: place('occupied') }),
  ).rejects.toMatchObject({ code: 'cannot-write' });
});

it.each([
  ['amplifiers: [{ feeds: [subwoofer] }]', 'session-field'],
  ['amplifier: { feeds: [subwoofer], ratedWatts: 500 }', 'session-field'],
  ['amplifiers: [{ feeds: [subwoofer], ratedWatts: -5 }]', 'session-field'],
  ['amplifiers: [', 'session-syntax'],
])('says what is wrong with equipment %j', async (text, code) => {
  writeFileSync(place('wrong.yaml'), text);
  await expect(plan({ equipmentFile: place('wrong.yaml'), outFolder: place('never') })).rejects.toMatchObject(
    { code },
  );
  expect(existsSync(place('never'))).toBe(false);
});

it('refuses a file that is no results file', async () => {
  writeFileSync(place('other.json'), '{"format":"something"}');
  await expect(
    plan({
      equipmentFile: place('larger.yaml'),
      resultsFile: place('other.json'),
      outFolder: place('never'),
    }),
  ).rejects.toMatchObject({ code: 'usage' });
  await expect(
    plan({ equipmentFile: place('larger.yaml'), resultsFile: place('none.json'), outFolder: place('never') }),
  ).rejects.toMatchObject({ code: 'file-missing' });
});
