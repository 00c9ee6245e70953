import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../src/model/finding.ts';
import { measured } from '../../../src/model/measured.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { plainText } from '../../../src/report/sentence.ts';
import { recommendationWords } from '../../../src/report/wording/recommendation-words.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput } from '../synthetic.ts';

const turned: Finding = {
  id: 'timing',
  kind: 'timing',
  tapIds: ['front right', 'front left'],
  evidence: [],
  tapId: 'front right',
  referenceTapId: 'front left',
  delaySeconds: measured({ value: 0, plusMinus: 1e-6 }),
  polarity: 'inverted',
  reason: null,
};

function feedsOf(wires: { plus?: { colour?: string; pin?: string }; minus?: { colour?: string } }) {
  const [left, right] = pair('front', { band: FULL_RANGE });
  const taps = [left, { ...right, response: () => ({ real: -1, imag: 0 }) }];
  const input = planInput({ taps, settings: [12, 16, 20], volts: null, findings: [turned] });
  const session = {
    ...input.session,
    taps: input.session.taps.map((tap) => (tap.id === 'front right' ? { ...tap, ...wires } : tap)),
  };
  return recommendationsOf(recommend({ ...input, session }), 'feed');
}

const NOTED = { plus: { colour: 'violet' }, minus: { colour: 'violet/black' } };

describe('polarity as an instruction for a hand', () => {
  it('crosses the wires that were noted, in every feed of the inverted output and of no other', () => {
    const feeds = feedsOf(NOTED);
    for (const { connections } of feeds) {
      for (const { tapId, cross, plusTo, minusTo } of connections!) {
        if (tapId !== 'front right') expect(cross).toBe(false);
        else
          expect({ cross, plusTo, minusTo }).toEqual({
            cross: true,
            plusTo: 'violet/black',
            minusTo: 'violet',
          });
      }
    }
  });

  it('is said so, with a look at the cone before a factory speaker is fed', () => {
    const right = feedsOf(NOTED).find(({ side }) => side === 'right')!;
    const text = recommendationWords(right, (id) => id)
      .statements.map(({ sentence }) => plainText(sentence))
      .join(' ');
    expect(text).toContain('plus to violet/black, minus to violet.');
    expect(text).toContain('cone');
    const left = feedsOf(NOTED).find(({ side }) => side === 'left')!;
    expect(left.connections).toEqual([
      { tapId: 'front left', cross: false, plusTo: null, minusTo: null, lookAtCone: false },
    ]);
  });

  it('names the wires by their part where no colour was noted', () => {
    const right = feedsOf({ plus: { pin: '7' } }).find(({ side }) => side === 'right')!;
    const text = plainText(recommendationWords(right, (id) => id).statements[1].sentence);
    expect(text).toContain("plus to the output's minus wire, minus to pin 7");
  });
});
