import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analyse.ts';
import { evaluateSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { recommendationsOf } from '../../src/model/recommendation.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { memorySound } from '../memory-sound.ts';

const CORNER_HZ = 80;

/** What a microphone hears of a subwoofer and of the mains: filters of fourth order, levels and ways of their own. */
interface Seat {
  readonly subwooferVolts: number;
  readonly subwooferLateSeconds: number;
  readonly subwooferInverted: boolean;
}

/** Records the radio once and the seat four times, the sums made from the two sounds as they reach the microphone. */
function planAtTheSeat(
  { subwooferVolts, subwooferLateSeconds, subwooferInverted }: Seat,
  { without }: { without?: string } = {},
) {
  const filter = (side: 'low-pass' | 'high-pass') => ({
    side,
    family: 'linkwitz-riley' as const,
    order: 4 as const,
    cornerHz: CORNER_HZ,
  });
  const { recordings } = simulate(
    resolveScenario({
      track: 'response only',
      settings: [20],
      everyTap: { noise: { snrDb: 50 } },
      taps: [
        {
          id: 'subwoofer',
          side: 'both',
          volume: { atSetting: 20, voltsRms: subwooferVolts, dbPerStep: 1 },
          crossover: [filter('low-pass')],
          delayMicroseconds: subwooferLateSeconds * 1e6,
          inverted: subwooferInverted,
        },
        {
          id: 'mains',
          side: 'both',
          volume: { atSetting: 20, voltsRms: 2, dbPerStep: 1 },
          crossover: [filter('high-pass')],
        },
        { id: 'front-left', side: 'left', volume: { atSetting: 20, voltsRms: 2, dbPerStep: 1 } },
      ],
    }),
  );
  const [{ channels, sampleRateHz }] = [...recordings()];
  const [subwoofer, mains, radio] = channels;
  const sum = (sign: number) => mains.map((sample, n) => sample + sign * subwoofer[n]);
  const files = new Map([
    ['radio.wav', radio],
    ['seat-sub.wav', subwoofer],
    // Each take starts when it starts: nothing but the levels is common to them.
    ['seat-mains.wav', later(mains, 7321)],
    ['seat-both.wav', later(sum(1), 1234)],
    ['seat-both-inverted.wav', later(sum(-1), 40_001)],
  ]);
  if (without !== undefined) files.delete(without);
  const open = (name: string) => memorySound({ name, sampleRateHz, channels: [files.get(name)!] });
  const session = resolveSession(
    { settings: [20], channels: ['front-left'] },
    { folderFiles: [...files.keys()] },
  );
  return analyse({ session, open, toolVersion: 'test', inputs: [] });
}

function later(samples: Float32Array, by: number): Float32Array {
  const moved = new Float32Array(samples.length + by);
  moved.set(samples, by);
  return moved;
}

/** Angle between subwoofer and mains by the filters' closed form and the delay, 0 to 180 degrees. */
function trueDegrees({ subwooferLateSeconds, subwooferInverted }: Seat, frequencyHz: number): number {
  const phase = (side: 'low-pass' | 'high-pass') => {
    const sections = prototypeSections({ family: 'linkwitz-riley', order: 4, side });
    const { real, imag } = evaluateSections(sections, {
      frequencyHz,
      cornerHz: CORNER_HZ,
      sampleRateHz: null,
    });
    return Math.atan2(imag, real);
  };
  const turned = subwooferInverted ? Math.PI : 0;
  const angle =
    phase('low-pass') - phase('high-pass') - 2 * Math.PI * frequencyHz * subwooferLateSeconds + turned;
  return (Math.acos(Math.cos(angle)) * 180) / Math.PI;
}

describe('Four microphone takes at the seat', () => {
  // 1.5 ms are 43 degrees at 80 Hz; turned over, 137.
  it('tell to invert a subwoofer that arrives turned over and late, by the angle of the closed form.', () => {
    const seat = { subwooferVolts: 2, subwooferLateSeconds: 1.5e-3, subwooferInverted: true };
    const [advice] = recommendationsOf(planAtTheSeat(seat).recommendations, 'seat');
    expect(advice.polarity).toBe('inverted');
    expect(Math.abs(Math.log2(advice.handOverHz / CORNER_HZ))).toBeLessThan(0.1);
    expect(advice.phaseDegrees).toHaveProperty('value');
    const { value } = advice.phaseDegrees as { value: number };
    expect(Math.abs(value - trueDegrees(seat, advice.handOverHz))).toBeLessThan(2);
    expect(advice.trimDb).toBeUndefined();
    expect(advice.gainFromInvertingDb).toBeGreaterThan(3);
  });

  it('tell to turn down a subwoofer that is 8 dB too strong, and to move a hand-over that is a quarter turn apart.', () => {
    // A quarter turn at 80 Hz is 3.125 ms; 5.02 V stand 8 dB over 2 V.
    const seat = {
      subwooferVolts: 2 * 10 ** (8 / 20),
      subwooferLateSeconds: 3.125e-3,
      subwooferInverted: false,
    };
    const results = planAtTheSeat(seat);
    const [advice] = recommendationsOf(results.recommendations, 'seat');
    expect(advice.trimDb).toBeCloseTo(-8, 0);
    const said = advice.reasons.map(reasonText).join('; ');
    expect(said).toMatch(/turn the subwoofer down by (7\.\d|8\.\d) dB/);
    expect(said).toContain('about a quarter turn apart');
    expect(results.session.equipment!.seat!.frequencyHz.length).toBeGreaterThan(20);
  });

  it('say what is missing, and tell nothing, where one of them was not made.', () => {
    const seat = { subwooferVolts: 2, subwooferLateSeconds: 0, subwooferInverted: false };
    const { notes, recommendations } = planAtTheSeat(seat, { without: 'seat-mains.wav' });
    expect(recommendationsOf(recommendations, 'seat')).toEqual([]);
    expect(notes.map(({ reason }) => reason)).toContainEqual({
      code: 'seat takes missing',
      kinds: ['seat mains'],
    });
  });
});
