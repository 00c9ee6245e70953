import { describe, expect, it } from 'vitest';
import { evaluateSections, prototypeSections } from '../../../src/dsp/filter-prototype.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { pair, planInput, type SyntheticRadio } from '../synthetic.ts';

describe('dash high-pass and door low-pass at 3 kHz, Linkwitz-Riley 12 dB/octave', () => {
  const section = (side: 'low-pass' | 'high-pass') =>
    prototypeSections({ family: 'linkwitz-riley', order: 2, side });
  const filter = (side: 'low-pass' | 'high-pass') => {
    const sections = section(side);
    return (frequencyHz: number) =>
      evaluateSections(sections, { frequencyHz, cornerHz: 3000, sampleRateHz: null });
  };
  const split = (dashLateSeconds: number, timeOrigin?: string): SyntheticRadio => ({
    taps: [
      ...pair('door', { response: filter('low-pass') }),
      ...pair('dash', { response: filter('high-pass'), delaySeconds: dashLateSeconds, timeOrigin }),
    ],
    settings: [10, 20, 30],
    volts: null,
    equipment: {
      converter: {
        inputs: 8,
        inputLimitVoltsRms: 20,
        summing: 'any',
        canInvert: true,
        maximumDelaySeconds: 5e-3,
      },
      amplifiers: [{ feeds: ['front'], ratedWatts: 75 }],
    },
  });
  const feeds = (radio: SyntheticRadio) => recommendationsOf(recommend(planInput(radio)), 'feed');

  it('inverts one and is flat; as wired it would have been a null at 3 kHz', () => {
    for (const feed of feeds(split(0))) {
      expect(feed.summed).toBe(true);
      // The door carries the bass, which the other feeds have to agree with: the dash is the one to turn.
      const inverted = feed.taps.filter(({ polarity }) => polarity === 'inverted');
      expect(inverted.map(({ tapId }) => tapId)).toEqual([`dash ${feed.side}`]);
      expect(feed.programmes![feed.side as 'left'].rippleDb).toBeLessThan(1e-6);
      const asWired = feed.runnersUp.find(
        ({ taps }) => taps.length === 2 && taps.every(({ polarity }) => polarity === 'as wired'),
      )!;
      // The null itself lies between two points of the grid, 3 Hz from the nearest.
      expect(asWired.worstDipDb).toBeLessThan(-40);
    }
  });

  it('inverts and does not delay where the dash is 20 microseconds late: worst -0.5 dB', () => {
    const [feed] = feeds(split(20e-6));
    expect(feed.taps.every(({ delaySeconds }) => delaySeconds === 0)).toBe(true);
    expect(feed.programmes!.left.worstDipDb).toBeCloseTo(-0.48, 2);
  });

  it('inverts and delays the door where the dash is 100 microseconds late', () => {
    const [feed] = feeds(split(100e-6));
    const door = feed.taps.find(({ tapId }) => tapId === 'door left')!;
    const dash = feed.taps.find(({ tapId }) => tapId === 'dash left')!;
    expect(door.delaySeconds).toBeCloseTo(100e-6, 9);
    expect(dash.delaySeconds).toBe(0);
    expect(door.polarity).not.toBe(dash.polarity);
    expect(feed.programmes!.left.rippleDb).toBeLessThan(0.01);
  });

  it('shows why inverting alone loses there: -7.9 dB against -3.6 dB as wired', () => {
    const radio = split(100e-6);
    const noDelay = {
      ...radio,
      equipment: {
        ...radio.equipment,
        converter: { ...radio.equipment!.converter!, maximumDelaySeconds: 0 },
      },
    };
    const [feed] = feeds(noDelay);
    expect(feed.taps.every(({ polarity }) => polarity === 'as wired')).toBe(true);
    expect(feed.programmes!.left.worstDipDb).toBeCloseTo(-3.56, 1);
    const inverted = feed.runnersUp.find(({ taps }) => taps.some(({ polarity }) => polarity === 'inverted'))!;
    expect(inverted.worstDipDb).toBeCloseTo(-7.95, 1);
  });

  it('says unknown, from 0 dB to a full null, where they were recorded one after the other', () => {
    const plan = recommend(planInput(split(0, 'another file')));
    const [feed] = recommendationsOf(plan, 'feed');
    expect(feed.programmes).toBeNull();
    expect(feed.unknownTiming).toMatchObject({ bestDipDb: 0, worstDipDb: -60 });
    expect(feed.unknownTiming!.atHz).toBeGreaterThan(2900);
    expect(feed.unknownTiming!.atHz).toBeLessThan(3100);
    const [next] = recommendationsOf(plan, 'record-next');
    expect(next.blocks).toBe(true);
    expect(next.tapIds).toEqual(['door left', 'dash left']);
  });
});
