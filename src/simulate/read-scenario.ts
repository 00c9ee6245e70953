import { ORDERS_OF_FAMILY } from '../dsp/filter-prototype.ts';
import { checkDocument } from '../model/checked-document.ts';
import { SteptoneError } from '../model/errors.ts';
import { type Scenario, type ScenarioInput, scenarioSchema } from './scenario.ts';

const NEXT_STEP = 'put this right; sample-audio holds scenarios that work';

/**
 * Reads a scenario written in YAML or JSON and applies its defaults.
 *
 * @throws SteptoneError `scenario-field` that names file, line and field
 */
export function parseScenario(file: { fileName: string; text: string }): Scenario {
  const { value } = checkDocument(file, {
    schema: scenarioSchema,
    syntaxCode: 'scenario-field',
    fieldCode: () => 'scenario-field',
    expected: 'a scenario in YAML or JSON, with settings and taps',
    nextStep: NEXT_STEP,
  });
  checkTogether(value, file.fileName);
  return value;
}

/**
 * The same for a scenario written in code.
 *
 * @throws SteptoneError `scenario-field` where fields contradict each other; ZodError for a field that is wrong by itself
 */
export function resolveScenario(input: ScenarioInput): Scenario {
  const scenario = scenarioSchema.parse(input);
  checkTogether(scenario, 'scenario');
  return scenario;
}

/** What no single field can tell. */
function checkTogether({ taps, files, recorder, playerRateHz }: Scenario, where: string): void {
  const ids = taps.map(({ id }) => id);
  const twice = ids.find((id, i) => ids.indexOf(id) !== i);
  if (twice !== undefined)
    throw fieldError({ where: `${where}, taps`, expected: 'each tap once', found: `'${twice}' twice` });
  if (files.referenceTapId !== undefined && !ids.includes(files.referenceTapId)) {
    const found = `'${files.referenceTapId}'`;
    throw fieldError({
      where: `${where}, files.referenceTapId`,
      expected: `one of ${ids.join(', ')}`,
      found,
    });
  }
  const highestHz = 0.49 * Math.min(recorder.sampleRateHz, playerRateHz);
  for (const { id, crossover, volumeDependent, fixedEq, allPass } of taps) {
    const filters = [...crossover, ...volumeDependent.filter((entry) => entry.kind === 'high-pass')];
    const odd = filters.find(({ family, order }) => !ORDERS_OF_FAMILY[family].includes(order));
    if (odd !== undefined) {
      const expected = `an order of ${ORDERS_OF_FAMILY[odd.family].join(', ')} for ${odd.family}`;
      throw fieldError({ where: `${where}, tap ${id}`, expected, found: String(odd.order) });
    }
    const corners = [...crossover, ...allPass].map(({ cornerHz }) => cornerHz);
    const tooHigh = [...corners, ...fixedEq.map(({ frequencyHz }) => frequencyHz)].find(
      (corner) => corner > highestHz,
    );
    if (tooHigh === undefined) continue;
    throw fieldError({
      where: `${where}, tap ${id}`,
      expected: `corners below ${highestHz} Hz`,
      found: `${tooHigh} Hz`,
    });
  }
}

function fieldError(parts: { where: string; expected: string; found: string }): SteptoneError {
  return new SteptoneError({ code: 'scenario-field', ...parts, nextStep: NEXT_STEP });
}
