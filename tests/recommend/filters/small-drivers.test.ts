import { describe, expect, it } from 'vitest';
import { evaluateSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import { asWritten, codeOf } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { plainText } from '../../../src/report/sentence.ts';
import { recommendationWords } from '../../../src/report/wording/recommendation-words.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticTap } from '../synthetic.ts';

const way = (side: 'low-pass' | 'high-pass', cornerHz: number) => {
  const sections = prototypeSections({ family: 'linkwitz-riley', order: 4, side });
  return (frequencyHz: number) => evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });
};

function split(cornerHz: number): SyntheticTap[] {
  const unknown = notMeasurable(asWritten('not needed here'));
  return [
    ...pair('door', { response: way('low-pass', cornerHz) }),
    ...pair('dash', {
      response: way('high-pass', cornerHz),
      band: {
        lowEdge: {
          minus3Hz: unknown,
          minus6Hz: unknown,
          slopeDbPerOctave: 24,
          filter: {
            family: 'linkwitz-riley',
            order: 4,
            cornerHz: measured({ value: cornerHz, plusMinus: 1 }),
          },
        },
      },
    }),
  ];
}

type SpeakerInput = NonNullable<EquipmentInput['speakers']>[number];

function protectionOf(cornerHz: number, speaker: Partial<SpeakerInput> | null) {
  const equipment: EquipmentInput = {
    amplifiers: [{ feeds: ['front'], ratedWatts: 75 }],
    speakers: speaker === null ? [] : [{ feeds: 'front', ...speaker }],
  };
  const taps = split(cornerHz);
  return recommendationsOf(
    recommend(planInput({ taps, settings: [12, 16, 20], volts: null, equipment })),
    'protection',
  );
}

describe('a tweeter behind the radio’s split', () => {
  it('asks how the speakers are wired where nobody noted it, and says what can be chosen', () => {
    const [item] = protectionOf(3000, null);
    expect(item).toMatchObject({
      answer: 'ask',
      tapIds: ['dash left', 'dash right'],
      highPass: { notBelowHz: 3000, leastSlopeDbPerOctave: 12, slopeDbPerOctave: 24, gainToneHz: 3000 },
      factorySpeakerLosesFeed: true,
    });
    // C = 1/(2 pi f R): 3 kHz at 4 ohm is 13.3 microfarads.
    expect(item.capacitor.microfarads).toBeCloseTo(13.263, 2);
    const words = recommendationWords(item, (id) => id);
    const text = words.statements.map(({ sentence }) => plainText(sentence)).join(' ');
    expect(words.step!.known).toBe(false);
    for (const part of [
      'passive crossover',
      '3 kHz or higher',
      'never with 100 Hz',
      'on the radio and feed the doors alone',
      '13.3',
    ])
      expect(text).toContain(part);
  });

  it.each([
    [{ wiring: 'passive crossover' }, 'crossover'],
    [{ tweeter: { crossover: 'passive' } }, 'crossover'],
    [{ tweeter: { crossover: 'capacitor' } }, 'capacitor'],
    [{ tweeter: { crossover: 'none' } }, 'own channel'],
    [{ wiring: 'separate' }, 'own channel'],
    [{ tweeter: {} }, 'ask'],
    [{ factory: true }, 'ask'],
  ] as const)('%j: %s', (speaker, answer) => {
    expect(protectionOf(2500, speaker)[0].answer).toBe(answer);
  });

  it('has its own capacitor’s corner told: 6.8 microfarads at 4 ohm begin at 5.85 kHz', () => {
    const cornerOf = (tweeter: object) => {
      const [item] = protectionOf(2500, { tweeter: { crossover: 'capacitor', ohms: 4, ...tweeter } });
      return item.reasons.find((reason) => codeOf(reason) === 'capacitor is a last protection');
    };
    // f = 1 / (2 pi R C).
    expect(cornerOf({ microfarads: 6.8 })).toMatchObject({
      microfarads: 6.8,
      cornerHz: expect.closeTo(1 / (2 * Math.PI * 4 * 6.8e-6), 3),
    });
    expect(cornerOf({})).toMatchObject({ cornerHz: expect.closeTo(2500, 0) });
  });

  it('counts door and tweeter in parallel, and never sets a high-pass below the radio’s', () => {
    const [item] = protectionOf(5200, { wiring: 'parallel', ohms: 4, tweeter: { ohms: 4 } });
    expect(item.parallelOhms).toBeCloseTo(2, 9);
    expect(item.highPass.notBelowHz).toBeGreaterThanOrEqual(5200);
    expect(item.highPass.gainToneHz).toBeGreaterThanOrEqual(5200);
  });

  it('is protected too where no fit told the radio’s corner: the measured curve tells', () => {
    const taps = split(3000).map((tap) => ({ ...tap, band: {} }));
    const [item] = recommendationsOf(
      recommend(planInput({ taps, settings: [12, 16, 20], volts: null })),
      'protection',
    );
    // The -6 dB point of a Linkwitz-Riley is its corner.
    expect(item.radioHighPass.cornerHz / 3000).toBeCloseTo(1, 1);
    expect(item.tapIds).toEqual(['dash left', 'dash right']);
  });

  it('is no concern where nothing is summed', () => {
    const taps = pair('front', { band: FULL_RANGE });
    const plan = recommend(planInput({ taps, settings: [12, 16, 20], volts: null }));
    expect(recommendationsOf(plan, 'protection')).toEqual([]);
  });
});
