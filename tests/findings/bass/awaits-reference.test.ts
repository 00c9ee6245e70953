import { expect, it } from 'vitest';
import { awaitsReference } from '../../../src/findings/bass/awaits-reference.ts';
import type { Finding, FindingOf } from '../../../src/model/finding.ts';

const bass = (tapId: string, part: object) =>
  ({
    kind: 'bass-change',
    tapIds: [tapId],
    plateauSettings: [],
    ...part,
  }) as unknown as FindingOf<'bass-change'>;
const band = (tapId: string, lowEdge: object | null, verdict = 'full range') =>
  ({ kind: 'band', tapIds: [tapId], lowEdge, verdict }) as unknown as Finding;

it('the car waits for a reference unless another output keeps its bass and the loss is known as a minimum.', () => {
  const atLeast = bass('door', { verdict: 'falls with volume', atLeast: { fromSetting: 8 } });
  const unknown = bass('door', { verdict: 'cannot be told' });
  const steady = bass('rear', { verdict: 'steady', plateauSettings: [8, 14, 20] });
  expect(awaitsReference(atLeast, [atLeast])).toBe(true);
  expect(awaitsReference(atLeast, [atLeast, steady, band('rear', null)])).toBe(false);
  expect(awaitsReference(unknown, [unknown, steady, band('rear', null)])).toBe(true);
  expect(awaitsReference(steady, [steady])).toBe(false);
  // Not where that output begins above the bass, or nobody knows what it carries.
  expect(
    awaitsReference(atLeast, [atLeast, steady, band('rear', { slopeDbPerOctave: 24 }, 'band-limited')]),
  ).toBe(true);
  expect(awaitsReference(atLeast, [atLeast, steady, band('rear', null, 'cannot be told')])).toBe(true);
  expect(awaitsReference(atLeast, [atLeast, steady, band('door', null)])).toBe(true);
});
