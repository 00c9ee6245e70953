import { readdirSync } from 'node:fs';
import { expect, it } from 'vitest';
import { CASE_NAMES, caseScenario } from './solved-case.ts';

it('every scenario of this folder has a name here, and can be read', () => {
  const files = readdirSync(new URL('.', import.meta.url)).filter((file) => file.endsWith('.yaml'));
  expect(files.sort()).toEqual(CASE_NAMES.map((name) => `${name}.yaml`));
  for (const name of CASE_NAMES) expect(caseScenario(name).taps.length).toBeGreaterThan(1);
});
