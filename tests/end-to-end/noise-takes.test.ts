import { describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { codeOf } from '../../src/model/reason.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { ScenarioInput, TapInput } from '../../src/simulate/scenario.ts';
import { analysedScenario } from './analysed-scenario.ts';

const IDLE_RPM = 780;
const FAST_RPM = 2940;
const ENGINE_STATES = [
  { engine: 'off' as const, rpm: 0 },
  { engine: 'idle' as const, rpm: IDLE_RPM },
  { engine: 'fast' as const, rpm: FAST_RPM },
];

function noiseOf(tap: Partial<TapInput>, files: ScenarioInput['files'] = { noise: ENGINE_STATES }) {
  const { results } = analysedScenario(
    resolveScenario({
      track: 'response only',
      settings: [20],
      taps: [
        {
          id: 'rear-left',
          side: 'left',
          position: 'rear',
          volume: { atSetting: 30, voltsRms: 6.85, dbPerStep: 1 },
          noise: { voltsRms: 0.0004 },
          ...tap,
        },
      ],
      files,
    }),
  );
  return {
    finding: findingsOf(results.findings, 'noise')[0],
    advice: recommendationsOf(results.recommendations, 'grounding'),
  };
}

// Frequencies by closed form: a rectifier of three phases ripples six times a period of each phase, so an alternator that
// turns `ratio` times as fast as the engine and has `pole pairs` gives 6 x ratio x pole pairs lines a revolution.
const ALTERNATOR = { perRevolution: 6 * 2.6 * 6, voltsRms: 0.003, harmonics: 3 };

describe('Noise takes with the engine off, at idle and fast', () => {
  it('tell the comb of an alternator from the hum of a charger.', () => {
    const { finding, advice } = noiseOf({
      lines: [{ frequencyHz: 50, voltsRms: 0.002, harmonics: 3 }],
      engineLines: [ALTERNATOR],
    });
    expect(advice.map(({ noise }) => noise).sort()).toEqual(['alternator', 'mains hum']);
    const comb = finding.origins!.find(({ origin }) => origin === 'alternator')!;
    expect(comb).toMatchObject({ moves: true, atVolumeZero: true });
    const idle = comb.combs.find(({ engine }) => engine === 'idle')!;
    const fast = comb.combs.find(({ engine }) => engine === 'fast')!;
    expect(idle.fundamentalHz).toBeCloseTo((93.6 * IDLE_RPM) / 60, 0);
    expect(fast.fundamentalHz).toBeCloseTo((93.6 * FAST_RPM) / 60, 0);
    expect(fast.perRevolution).toBeCloseTo(93.6, 1);
    expect(fast.lines).toHaveLength(3);
  });

  it('tell low tones of noise cancelling or engine sound at volume zero, engine speeds not noted.', () => {
    const { finding, advice } = noiseOf(
      { engineLines: [{ perRevolution: 2, voltsRms: 0.005, harmonics: 3 }] },
      { noise: ENGINE_STATES.map((state) => ({ ...state, rpmNoted: false })) },
    );
    expect(advice.map(({ noise }) => noise)).toEqual(['engine-related tones']);
    expect(advice[0].advice.map(codeOf)).toContain('settle noise cancelling');
    expect(advice[0].reasons.map(codeOf)).toContain('lines at volume zero');
    const [sound] = finding.origins!;
    expect(sound).toMatchObject({ origin: 'engine sound', moves: true, atVolumeZero: true });
    expect(sound.combs[0].fundamentalHz).toBeCloseTo((2 * IDLE_RPM) / 60, 0);
  });

  it('tell both where both are there.', () => {
    const { advice } = noiseOf({
      engineLines: [ALTERNATOR, { perRevolution: 2, voltsRms: 0.005, harmonics: 4 }],
    });
    expect(advice.map(({ noise }) => noise).sort()).toEqual(['alternator', 'engine-related tones']);
  });

  it('find nothing but hiss in a quiet car, and lines that stand still are not the engine’s.', () => {
    expect(noiseOf({}).advice.map(({ noise }) => noise)).toEqual(['hiss']);
    const { advice } = noiseOf({ lines: [{ frequencyHz: 1234, voltsRms: 0.002 }] });
    expect(advice.map(({ noise }) => noise)).toEqual(['lines of unknown origin']);
  });

  it('do not claim that lines move where one engine speed was recorded.', () => {
    const { finding, advice } = noiseOf({ engineLines: [ALTERNATOR] }, { noise: ENGINE_STATES.slice(0, 2) });
    expect(finding.origins![0]).toMatchObject({ origin: 'alternator', moves: null });
    expect(advice[0].reasons.map(codeOf)).toContain('lines come with the engine');
  });
});
