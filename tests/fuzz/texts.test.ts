import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { parse, stringify } from 'yaml';
import { readEquipmentText } from '../../src/commands/read-equipment.ts';
import { curveTables } from '../../src/curves/curve-tables.ts';
import type { Random } from '../../src/dsp/random.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { readResultsText, resultsText } from '../../src/model/results-file.ts';
import { parseSessionFile } from '../../src/model/session-file.ts';
import { planAgain } from '../../src/recommend/plan-again.ts';
import { renderPages } from '../../src/report/pages.ts';
import { NO_IMAGES } from '../../src/report/photos.ts';
import { planFiles } from '../../src/simulate/file-plan.ts';
import { parseScenario } from '../../src/simulate/read-scenario.ts';
import { sessionOfScenario } from '../../src/simulate/session-of-scenario.ts';
import { benchSheet } from '../../src/tones/bench-sheet/bench-sheet.ts';
import { stickFiles } from '../../src/tones/stick-files.ts';
import { exampleResults } from '../report/example-results.ts';
import { slip, spoil } from './spoil.ts';
import { TIMEOUT, tryOut } from './try-out.ts';

const samples = join(import.meta.dirname, '..', '..', 'sample-audio');
const hash = { sha256Hex: (text: string) => createHash('sha256').update(text).digest('hex') };

const SESSION = {
  name: 'Invented sedan',
  settings: '10-38/4',
  taps: [
    {
      id: 'front-left',
      side: 'left',
      load: 'resistor',
      plus: { colour: 'white', pin: 3 },
      photos: ['plug.jpg'],
    },
    'front-right',
  ],
  channels: ['front-left', 'front-right'],
  recordings: ['front-*.wav', { file: 'long.wav', settings: [10, '14-18/4'], supplyVolts: 13.8 }],
  calibration: { kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.4 },
  supply: { volts: 14.4 },
  controls: { bass: 0, treble: 2 },
  notes: ['Bench charger'],
};
const EQUIPMENT = {
  converter: {
    inputs: 4,
    inputLimitVoltsRms: 20,
    summing: 'any',
    canInvert: true,
    restoration: { kind: 'dynamic', maximumDb: 12 },
  },
  amplifiers: [
    {
      feeds: ['front', 'rear'],
      channels: 4,
      ratedWatts: 75,
      highPass: { rangeHz: [50, 250], slopeDbPerOctave: 24 },
    },
    { feeds: ['subwoofer'], ratedWatts: 500, lowPass: { rangeHz: [40, 160], slopeDbPerOctave: 24 } },
  ],
  speakers: [
    { feeds: 'front', factory: true },
    { feeds: 'rear', factory: true },
  ],
  woofer: { areaCm2: 480, peakTravelMm: 16 },
  supplyWire: { lengthMetres: 5, mm2: 25, fuseAmps: 100 },
};
/** The same content as text, spoilt in its data or in its letters. */
function spoiltText(data: unknown, random: Random): string {
  const text = stringify(spoil(data, random));
  return random.uniform() < 0.3 ? slip(stringify(data), random) : text;
}

it('Sessions: read or refused, never a fault.', { timeout: TIMEOUT }, () => {
  const folderFiles = ['front-10.wav', 'front-14.wav', 'long.wav', 'noise-idle.wav', 'plug.jpg'];
  const outcomes = tryOut('session', (random) => {
    const { input, locate } = parseSessionFile({ fileName: 's.yaml', text: spoiltText(SESSION, random) });
    benchSheet({ session: input, files: stickFiles(48_000) });
    resolveSession(input, { folderFiles, locate, channelCount: 2 });
  });
  expect([...outcomes.keys()]).toEqual(expect.arrayContaining(['used', 'session-field']));
});

it('Equipment: planned with or refused, never a fault.', { timeout: TIMEOUT }, () => {
  const results = exampleResults();
  const outcomes = tryOut('equipment', (random) => {
    const equipment = readEquipmentText({ fileName: 'e.yaml', text: spoiltText(EQUIPMENT, random) });
    const again = planAgain(results, equipment).results;
    resultsText(again, hash);
    renderPages(again, assets, NO_IMAGES);
  });
  expect([...outcomes.keys()]).toEqual(expect.arrayContaining(['used', 'session-field']));
});

it('Scenarios: planned or refused, never a fault.', { timeout: TIMEOUT }, () => {
  const demo = parse(readFileSync(join(samples, 'demo-scenario.yaml'), 'utf8'));
  const outcomes = tryOut('scenario', (random) => {
    const scenario = parseScenario({ fileName: 's.yaml', text: spoiltText(demo, random) });
    planFiles(scenario);
    sessionOfScenario(scenario);
  });
  expect([...outcomes.keys()]).toEqual(expect.arrayContaining(['used', 'scenario-field']));
});

it('Results: used or refused, never a fault.', { timeout: TIMEOUT }, () => {
  const { checksum: _, ...results } = JSON.parse(resultsText(exampleResults(), hash));
  const equipment = readEquipmentText({ fileName: 'e.yaml', text: stringify(EQUIPMENT) });
  const outcomes = tryOut('results', (random) => {
    const text = JSON.stringify(spoil(results, random));
    const read = readResultsText({ text, where: 'results.json' }, hash);
    for (const { pieces } of curveTables(read))
      for (const piece of pieces) expect(piece).not.toMatch(/NaN|undefined/);
    const again = planAgain(read, equipment).results;
    resultsText(again, hash);
    renderPages(read, assets, NO_IMAGES);
  });
  expect([...outcomes.keys()]).toEqual(expect.arrayContaining(['used', 'usage']));
});

/** Of the page only what is filled in matters here. */
const assets = {
  pageHtml: '{{title}}{{body}}{{charts}}',
  style: '',
  script: '',
  plotting: { deflatedBase85: '', sha256Base64: '' },
  sha256Base64: () => '',
};
