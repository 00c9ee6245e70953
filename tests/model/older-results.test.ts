import { expect, it } from 'vitest';
import { fromOlderResults } from '../../src/model/older-results.ts';

const clipping = (tapId: string, toneHz: number, settings: number[], more: object) => ({
  kind: 'clipping',
  id: `clipping:${tapId}:${toneHz}`,
  tapIds: [tapId],
  evidence: [],
  perSetting: settings.map((setting) => ({ setting })),
  ...more,
});
const older = { highestCleanRecorded: 20, firstClippingRecorded: null, untold: { settings: [24] } };

it('takes the clean settings of a tap out of its clipping findings, once for all tones', () => {
  const { findings } = fromOlderResults({
    findings: [
      clipping('a', 55, [16, 20], older),
      clipping('a', 997, [20, 24], older),
      clipping('b', 55, [16], { ...older, highestCleanRecorded: null }),
    ],
  }) as { findings: object[] };
  expect(findings).toEqual([
    clipping('a', 55, [16, 20], {}),
    {
      kind: 'clean-settings',
      id: 'clean-settings:a',
      tapIds: ['a'],
      evidence: [],
      settings: [16, 20, 24],
      highestCleanRecorded: 20,
      firstClippingRecorded: null,
      notKnown: { settings: [24] },
    },
    clipping('a', 997, [20, 24], {}),
    clipping('b', 55, [16], {}),
    expect.objectContaining({ id: 'clean-settings:b', highestCleanRecorded: null, settings: [16] }),
  ]);
});

it('calls what a recommendation does not know by its name of today', () => {
  const item = { kind: 'highest-clean-setting', untold: { settings: [24] } };
  const filter = { kind: 'filter', slopeTold: false };
  expect(fromOlderResults({ recommendations: [item, filter, { kind: 'feed', untold: 1 }] })).toEqual({
    recommendations: [
      { kind: 'highest-clean-setting', notKnown: { settings: [24] } },
      { kind: 'filter', slopeKnown: false },
      { kind: 'feed', untold: 1 },
    ],
  });
});

it('leaves files of today, and what is no results file, as they are', () => {
  const today = { findings: [clipping('a', 55, [16], {})], other: 1 };
  expect(fromOlderResults(today)).toEqual(today);
  for (const other of [null, 'text', [1], { findings: 'none' }, { findings: [null, 3] }])
    expect(fromOlderResults(other)).toEqual(other);
});
