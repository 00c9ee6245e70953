import { describe, expect, it } from 'vitest';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { measured } from '../../../src/model/measured.ts';
import { codeOf } from '../../../src/model/reason.ts';
import { mainsPlans } from '../../../src/recommend/feeds/mains-feeds.ts';
import { contextOf, finding } from '../chain/context.ts';
import { way } from '../split-feeds.ts';
import { FULL_RANGE, gainDb, pair, type SyntheticTap } from '../synthetic.ts';

const between = (fromHz: number, toHz: number) => (hz: number) =>
  gainDb(hz >= fromHz && hz <= toHz ? 0 : -40);
const plansOf = (taps: readonly SyntheticTap[], equipment: EquipmentInput | null = null) =>
  mainsPlans(contextOf({ taps, equipment })).map(({ output, side, taps: used, lost }) => ({
    feed: `${output} ${side}`,
    taps: used.map(({ tapId }) => tapId),
    lost: lost.map(codeOf),
  }));
const fed = (...feeds: ('front' | 'rear' | 'subwoofer' | 'centre')[]) =>
  ({ amplifiers: [{ feeds, ratedWatts: 75 }] }) as unknown as EquipmentInput;
const left = (...of: Parameters<typeof plansOf>) => plansOf(...of).find(({ feed }) => feed === 'front left');

describe('what feeds front and rear', () => {
  it('is one feed for each side of each place that has outputs, left before right.', () => {
    const taps = [...pair('front', { band: FULL_RANGE }), ...pair('rear', { band: FULL_RANGE })];
    expect(plansOf(taps).map(({ feed }) => feed)).toEqual([
      'front left',
      'front right',
      'rear left',
      'rear right',
    ]);
    expect(plansOf(taps, fed('rear')).map(({ feed }) => feed)).toEqual(['rear left', 'rear right']);
    expect(
      plansOf(pair('front', { band: FULL_RANGE }), fed('front', 'rear')).map(({ feed }) => feed),
    ).toEqual(['front left', 'front right']);
  });

  it('is a full-range output alone, whatever else could be added.', () => {
    const taps = [
      ...pair('door', { band: FULL_RANGE }),
      ...pair('dash', { response: way('high-pass', 2500) }),
    ];
    expect(left(taps)).toMatchObject({ taps: ['door left'], lost: [] });
  });

  it('takes an output of the other place in where its own leave a part of the band out, and says what that costs.', () => {
    const taps = [
      ...pair('front', { response: way('low-pass', 900) }),
      ...pair('rear', { response: way('high-pass', 900) }),
    ];
    expect(left(taps)).toMatchObject({
      taps: ['front left', 'rear left'],
      lost: ['front-to-rear fade is lost'],
    });
    // Not the centre’s, whose sound is its own.
    const centre = {
      id: 'middle',
      side: 'left',
      position: 'centre',
      response: way('high-pass', 900),
    } as const;
    expect(left([...pair('front', { response: way('low-pass', 900) }), centre])?.taps).toEqual([
      'front left',
    ]);
  });

  it('keeps to its place where it reaches from 160 Hz to 12 kHz above a subwoofer, from 80 Hz without one.', () => {
    const taps = (fromHz: number, toHz = 14_000) => [
      ...pair('front', { response: between(fromHz, toHz) }),
      ...pair('rear', {
        response: (hz: number) => (between(fromHz, toHz)(hz).real > 0.5 ? gainDb(-40) : gainDb(0)),
      }),
    ];
    const used = (...of: Parameters<typeof plansOf>) => left(...of)?.taps.length;
    expect([used(taps(150)), used(taps(170))]).toEqual([1, 2]);
    expect(left(taps(150))?.lost).toEqual([]);
    expect([used(taps(150, 12_500)), used(taps(150, 11_500))]).toEqual([1, 2]);
    const withoutSubwoofer = fed('front', 'rear');
    expect([used(taps(75), withoutSubwoofer), used(taps(85), withoutSubwoofer)]).toEqual([1, 2]);
    expect(used(taps(150), fed('front', 'rear', 'subwoofer'))).toBe(1);
  });

  it('asks less of rears, which fill in: from 250 Hz to 4 kHz.', () => {
    const rear = (fromHz: number, toHz: number) =>
      plansOf([
        ...pair('rear', { response: between(fromHz, toHz) }),
        ...pair('front', {
          response: (hz: number) => (hz >= fromHz && hz <= toHz ? gainDb(-40) : gainDb(0)),
        }),
      ]).find(({ feed }) => feed === 'rear left')?.taps.length;
    expect([rear(240, 4200), rear(260, 4200), rear(240, 3800)]).toEqual([1, 2, 2]);
  });

  it('turns an output of its own feed back where the radio turns it, and says so of that one alone.', () => {
    const turned = finding({
      kind: 'timing',
      tapIds: ['front left', 'x'],
      tapId: 'front left',
      referenceTapId: 'x',
      delaySeconds: measured({ value: 0, plusMinus: 0 }),
      polarity: 'inverted',
    });
    const taps = pair('front', { response: between(150, 14_000) });
    const plans = mainsPlans(contextOf({ taps, findings: [turned] }));
    const told = plans.map(({ taps: used, reasonsFor }) => [
      used[0].polarity,
      reasonsFor(used).map(codeOf).includes('the radio turns this tap'),
    ]);
    expect(told).toEqual([
      ['inverted', true],
      ['as wired', false],
    ]);
  });

  it('of a centre is its own output, where an amplifier is to feed it.', () => {
    const centre = { id: 'middle', side: 'both', position: 'centre' } as const;
    const taps = [...pair('front', { band: FULL_RANGE }), centre];
    const feeds = (...of: Parameters<typeof fed>) => plansOf(taps, fed(...of)).map(({ feed }) => feed);
    expect(feeds('front', 'centre')).toContain('centre both');
    expect(feeds('front')).not.toContain('centre both');
    expect(plansOf(taps).map(({ feed }) => feed)).not.toContain('centre both');
  });
});
