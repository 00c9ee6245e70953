import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../src/model/finding.ts';
import { measured } from '../../../src/model/measured.ts';
import { radioNoiseVolts } from '../../../src/recommend/chain/radio-noise.ts';
import { planContext } from '../../../src/recommend/plan-context.ts';
import { pair, planInput } from '../synthetic.ts';

const SETTING = 20;
const taps = [...pair('dash'), ...pair('door')];

function noise(tapId: string, volts: number): Finding {
  return {
    id: `noise-${tapId}`,
    kind: 'noise',
    tapIds: [tapId],
    evidence: [],
    perSetting: [
      {
        setting: SETTING,
        underQuietToneDbFs: -80,
        underQuietToneADbFs: -82,
        inSilenceDbFs: -80,
        underQuietToneVolts: measured({ value: volts, plusMinus: 0 }),
      },
    ],
    lines: [],
    mainsHz: null,
    mutesInSilence: false,
    limitedBy: 'output',
  } as unknown as Finding;
}

function noiseOf(tapIds: readonly string[], trimDb = 0): number | null {
  const findings = ['dash left', 'dash right', 'door left'].map((tapId) => noise(tapId, 1e-3));
  const context = planContext(
    planInput({ taps, settings: [SETTING], volts: { at: SETTING, rms: 5 }, findings }),
  );
  const fed = tapIds.map((tapId) => ({ tapId, polarity: 'as wired' as const, trimDb, delaySeconds: 0 }));
  return radioNoiseVolts(context, fed, SETTING);
}

// Independent noise adds in power (closed form).
describe('noise of the radio in a feed', () => {
  it('of two outputs of 1 mV is 1.41 mV on one side, 0.71 mV where left and right make one level.', () => {
    expect(noiseOf(['dash left'])).toBeCloseTo(1e-3, 9);
    expect(noiseOf(['dash left', 'door left'])).toBeCloseTo(Math.SQRT2 * 1e-3, 9);
    expect(noiseOf(['dash left', 'dash right'])).toBeCloseTo(1e-3 / Math.SQRT2, 9);
  });

  it('goes down with the trim of its input, and is not known where that of one output is not.', () => {
    expect(noiseOf(['dash left', 'door left'], -6)).toBeCloseTo(Math.SQRT2 * 1e-3 * 10 ** (-6 / 20), 9);
    expect(noiseOf(['dash left', 'door right'])).toBeNull();
  });
});
