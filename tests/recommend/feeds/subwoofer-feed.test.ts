import { describe, expect, it } from 'vitest';
import { evaluateSections, lowShelfSections } from '../../../src/dsp/filter-prototype.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { makePlan } from '../../../src/recommend/plan.ts';
import { recommend } from '../recommend.ts';
import { way } from '../split-feeds.ts';
import { FULL_RANGE, pair, planInput, type SyntheticTap } from '../synthetic.ts';

/** Fronts that lose so many decibels of bass at the top, rears that keep theirs and come so late. */
function subwooferFrom({ lossDb, lateSeconds }: { lossDb: number; lateSeconds: number }): string[] {
  const cut = (hz: number, setting: number) =>
    evaluateSections(lowShelfSections({ gainDb: setting === 30 ? -lossDb : 0 }), {
      frequencyHz: hz,
      cornerHz: 120,
      sampleRateHz: null,
    });
  const taps = [
    ...pair('front', { band: FULL_RANGE, response: cut }),
    ...pair('rear', { band: FULL_RANGE, delaySeconds: lateSeconds }),
  ];
  const timing = (tapId: string, seconds: number) =>
    ({
      kind: 'timing',
      id: `timing-${tapId}`,
      tapIds: ['front left', tapId],
      evidence: [],
      tapId,
      referenceTapId: 'front left',
      polarity: 'same',
      delaySeconds: measured({ value: seconds, plusMinus: 1e-6 }),
    }) as unknown as Finding;
  const plan = recommend(
    planInput({
      taps,
      settings: [10, 15, 20, 30],
      volts: { at: 30, rms: 8 },
      bassChange: { verdict: 'falls with volume', plateauSettings: [10, 15, 20] },
      findings: [
        timing('front right', 0),
        timing('rear left', lateSeconds),
        timing('rear right', lateSeconds),
      ],
      equipment: {
        amplifiers: [
          { feeds: ['front'], ratedWatts: 75 },
          { feeds: ['subwoofer'], ratedWatts: 300 },
        ],
      },
    }),
  );
  const feed = recommendationsOf(plan, 'feed').find(({ output }) => output === 'subwoofer')!;
  return feed.taps.map(({ tapId }) => tapId);
}

describe('what feeds the subwoofer', () => {
  it('are the rears that keep their bass, unless the radio holds them back as a surround or a fill (10 ms)', () => {
    expect(subwooferFrom({ lossDb: 9, lateSeconds: 0 })).toEqual(['rear left', 'rear right']);
    expect(subwooferFrom({ lossDb: 9, lateSeconds: 0.0099 })).toEqual(['rear left', 'rear right']);
    expect(subwooferFrom({ lossDb: 9, lateSeconds: 0.0101 })).toEqual(['front left', 'front right']);
  });

  it('are late rears still, where the front loses more than 12 dB, the most that is restored', () => {
    expect(subwooferFrom({ lossDb: 14, lateSeconds: 0.015 })).toEqual(['rear left', 'rear right']);
  });
});

it('are the outputs that follow the volume, where others do not, unless those are the only ones of bass', () => {
  const used = (fixed: string, response?: SyntheticTap['response']) => {
    const taps = [
      ...pair('front', { band: FULL_RANGE, ...(response === undefined ? {} : { response }) }),
      ...pair('rear', { band: FULL_RANGE }),
    ];
    const input = planInput({ taps, settings: [10, 20, 30], volts: { at: 30, rms: 8 } });
    const findings = input.findings.map((finding) =>
      finding.kind === 'volume-law' && finding.tapIds[0].startsWith(fixed)
        ? { ...finding, followsVolume: false }
        : finding,
    );
    return { ...input, findings };
  };
  const tapIdsOf = (of: ReturnType<typeof used>) =>
    recommendationsOf(recommend(of), 'feed')
      .find(({ output }) => output === 'subwoofer')!
      .taps.map(({ tapId }) => tapId);
  const noBass = (hz: number) => ({ real: hz < 100 ? 0.001 : 1, imag: 0 });
  expect(tapIdsOf(used('rear'))).toEqual(['front left', 'front right']);
  expect(tapIdsOf(used('front'))).toEqual(['rear left', 'rear right']);
  expect(tapIdsOf(used('rear', noBass))).toEqual(['rear left', 'rear right']);
  const codes = makePlan(used('rear', noBass)).chain.because.map(({ code }) => code);
  expect(codes).toContain('feed keeps its level');
  // An output made for it that keeps its level is passed over for that, not for bass that it loses.
  const taps = [
    ...pair('front', { band: FULL_RANGE }),
    ...pair('subwoofer', { response: way('low-pass', 90) }),
  ];
  const input = planInput({ taps, settings: [10, 20, 30], volts: { at: 30, rms: 8 } });
  const findings = input.findings.map((finding) =>
    finding.kind === 'volume-law' && finding.tapIds[0].startsWith('subwoofer')
      ? { ...finding, followsVolume: false }
      : finding,
  );
  const feed = recommendationsOf(recommend({ ...input, findings }), 'feed').find(
    ({ output }) => output === 'subwoofer',
  )!;
  expect(feed.taps.map(({ tapId }) => tapId)).toEqual(['front left', 'front right']);
  expect(feed.reasons.map(codeOf)).toContain('subwoofer output keeps its level');
});
