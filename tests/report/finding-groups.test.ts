import { describe, expect, it } from 'vitest';
import type { FindingOf } from '../../src/model/finding.ts';
import { measured } from '../../src/model/measured.ts';
import type { Results } from '../../src/model/results.ts';
import { findingGroups } from '../../src/report/finding-groups.ts';
import { plainText } from '../../src/report/sentence.ts';
import { tapLabelOf } from '../../src/report/tap-label.ts';
import { findingWords } from '../../src/report/wording.ts';
import { exampleResults } from './example-results.ts';

const results = exampleResults();
const label = tapLabelOf(results);
const groups = findingGroups(results, label);

describe('findings in groups', () => {
  it('hold every finding once', () => {
    const ids = groups.flatMap(({ findings }) => findings.map(({ id }) => id));
    expect([...ids].sort()).toEqual(results.findings.map(({ id }) => id).sort());
    expect(groups.length).toBeLessThan(results.findings.length);
  });

  it('lose no sentence: every one of every finding stands in its group', () => {
    for (const { findings, lines } of groups) {
      const said = lines.map(({ sentence }) => plainText(sentence));
      for (const finding of findings) {
        for (const { sentence } of findingWords(finding, label).statements) {
          expect(said).toContain(plainText(sentence));
        }
      }
    }
  });

  it('say once what holds for all, and name the taps beside figures that differ', () => {
    const [group] = findingGroups(withLaws({ 'door-l': 14.4, 'door-r': 14.4, 'rear-l': 17.2 }), label);
    expect(group.title).toBe('Volume law: door left, door right and rear left');
    expect(group.lines.map(({ of, sentence }) => [of, plainText(sentence)])).toEqual([
      [null, 'The output follows the volume control, by 1.0 dB a step.'],
      ['door left and door right', expect.stringContaining('14.4')],
      ['rear left', expect.stringContaining('17.2')],
    ]);
  });

  it('keep apart what differs in words', () => {
    const { findings, ...rest } = withLaws({ 'door-l': 14.4, 'door-r': 14.4 });
    const [first, second] = findings;
    const fixed = { ...second, followsVolume: false } as FindingOf<'volume-law'>;
    expect(findingGroups({ ...rest, findings: [first, fixed] }, label)).toHaveLength(2);
  });
});

/** Volume laws of a few taps with these volts at setting 38. */
function withLaws(voltsRms: Readonly<Record<string, number>>): Results {
  const findings = Object.entries(voltsRms).map(
    ([tapId, volts]): FindingOf<'volume-law'> => ({
      id: `law:${tapId}`,
      tapIds: [tapId],
      evidence: [],
      kind: 'volume-law',
      levels: [{ setting: 38, levelDbFs: -3, voltsRms: measured({ value: volts, plusMinus: 0.1 }) }],
      dbPerStep: 1,
      followsVolume: true,
    }),
  );
  return { ...results, findings };
}
