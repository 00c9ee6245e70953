import { expect, test } from 'vitest';
import { SteptoneError } from '../../src/model/errors.ts';
import { parseScenario } from '../../src/simulate/read-scenario.ts';
import { sessionOfScenario } from '../../src/simulate/session-of-scenario.ts';

const GOOD = `
settings: 10-18/4
everyTap: { volume: { atSetting: 10, voltsRms: 1, dbPerStep: 1 }, inverted: true }
taps:
  - { id: front-left, side: left }
  - { id: front-right, side: right, inverted: false }
`;

function errorOf(text: string): SteptoneError {
  try {
    parseScenario({ fileName: 'car.yaml', text });
  } catch (error) {
    if (error instanceof SteptoneError) return error;
    throw error;
  }
  throw new Error('no error');
}

test('a scenario file needs settings and taps; what all taps share is written once, and a tap may differ', () => {
  const scenario = parseScenario({ fileName: 'car.yaml', text: GOOD });
  expect(scenario.settings).toEqual([10, 14, 18]);
  expect(scenario.taps.map(({ inverted }) => inverted)).toEqual([true, false]);
  expect(scenario.recorder).toMatchObject({ sampleRateHz: 48_000, bits: '24' });
});

test.each([
  ['taps: [', 'car.yaml'],
  [GOOD.replace('side: left', 'side: port'), 'taps[0].side'],
  [GOOD.replace('side: left', 'sude: left'), 'taps[0]'],
  [GOOD.replace('voltsRms: 1', 'voltsRms: -1'), 'voltsRms'],
  [GOOD.replace('id: front-right', 'id: front-left'), 'taps'],
  [`${GOOD}files: { kind: per pair, referenceTapId: rear }`, 'files.referenceTapId'],
  [
    GOOD.replace(
      'side: left',
      'side: left, crossover: [{ side: low-pass, family: linkwitz-riley, order: 3, cornerHz: 80 }]',
    ),
    'front-left',
  ],
  [
    GOOD.replace(
      'side: left',
      'side: left, crossover: [{ side: low-pass, family: bessel, order: 2, cornerHz: 23800 }]',
    ),
    'front-left',
  ],
])('a fault is answered with the place of the field: %#', (text, place) => {
  const error = errorOf(text);
  expect(error.code).toBe('scenario-field');
  expect(error.parts.where).toContain('car.yaml');
  expect(error.parts.where).toContain(place);
});

test('what was noted of a tap comes into the session as it was written', () => {
  const noted = 'plus: { colour: white, pin: 3 }, minus: white/black, connector: "grey, 16 pins"';
  const text = GOOD.replace('side: left', `side: left, ${noted}`);
  const [first, second] = sessionOfScenario(parseScenario({ fileName: 'car.yaml', text })).taps ?? [];
  expect(first).toMatchObject({ plus: { colour: 'white', pin: 3 }, minus: 'white/black' });
  expect(second).not.toHaveProperty('plus');
});
