import { expect, it } from 'vitest';
import { awaitsReference } from '../../../src/findings/bass/awaits-reference.ts';
import type { FindingOf } from '../../../src/model/finding.ts';

const bass = (part: object) => ({ plateauSettings: [], ...part }) as unknown as FindingOf<'bass-change'>;

it('the car waits for a reference unless another output keeps its bass and the loss is known as a minimum.', () => {
  const atLeast = bass({ verdict: 'falls with volume', atLeast: { fromSetting: 8 } });
  const unknown = bass({ verdict: 'cannot be told' });
  const steady = bass({ verdict: 'steady', plateauSettings: [8, 14, 20] });
  expect(awaitsReference(atLeast, [atLeast])).toBe(true);
  expect(awaitsReference(atLeast, [atLeast, unknown])).toBe(true);
  expect(awaitsReference(atLeast, [atLeast, steady])).toBe(false);
  expect(awaitsReference(unknown, [unknown, steady])).toBe(true);
  expect(awaitsReference(steady, [steady])).toBe(false);
});
