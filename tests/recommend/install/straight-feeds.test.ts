import { describe, expect, it } from 'vitest';
import type { ChainTap } from '../../../src/model/chain.ts';
import type { EquipmentInput } from '../../../src/model/equipment.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';
import type { Restoration } from '../../../src/recommend/bass/restoration.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';
import { straightFeeds } from '../../../src/recommend/install/straight-feeds.ts';
import { contextOf } from '../chain/context.ts';
import { feedOf, feedTapOf, tapOf } from './wired.ts';

const FRONT = { feeds: ['front'], ratedWatts: 75 };
const BASS = { feeds: ['subwoofer'], ratedWatts: 300 };
const CONVERTER = { inputs: 4, inputLimitVoltsRms: 20, summing: 'none' };
const atLine = { level: 'line', voltsRms: measured({ value: 2, plusMinus: 0.1 }) } as const;
const front = feedOf([feedTapOf('a')]);
const bass = feedOf([feedTapOf('b')], { output: 'subwoofer', side: 'both' });

function ways(of: {
  equipment: object | null;
  feeds?: Feed[];
  taps?: Partial<ChainTap>[];
  restoration?: object;
}): Record<string, string> {
  const { equipment, feeds = [front, bass], taps = [{}, atLine], restoration = null } = of;
  const found = straightFeeds(contextOf({ equipment: equipment as EquipmentInput | null }), {
    feeds,
    delay: null,
    restoration: restoration as Restoration | null,
    taps: taps.map((tap, i) => tapOf({ tapId: 'ab'[i], ...tap })),
  });
  return Object.fromEntries(found);
}

describe('straight into the amplifiers', () => {
  // A rail that is not known asks for 1 dB more than 8 V: 8.98 V.
  const rated = (volts: number) => ({ ...FRONT, speakerInputLimitVoltsRms: volts });

  it('goes what is line level, and what speaker-level inputs stand where nothing needs a converter.', () => {
    expect(ways({ equipment: { amplifiers: [rated(9), BASS] } })).toEqual({
      front: 'speaker',
      subwoofer: 'line',
    });
    expect(ways({ equipment: { amplifiers: [rated(8.9), BASS] } })).toEqual({ subwoofer: 'line' });
    expect(ways({ equipment: { amplifiers: [FRONT, BASS] } })).toEqual({ subwoofer: 'line' });
    const unknown = { voltsRms: notMeasurable({ code: 'volts not known' as const }) };
    expect(ways({ equipment: { amplifiers: [rated(9)] }, feeds: [front], taps: [unknown] })).toEqual({});
    // The bass needs the converter, so the front shares it.
    const bassAtSpeakerLevel = { amplifiers: [rated(9), BASS] };
    expect(ways({ equipment: bassAtSpeakerLevel, taps: [{}, {}] })).toEqual({});
  });

  it('leaves a converter that is given to what is at speaker level, or to lift what is all line level.', () => {
    const equipment = { amplifiers: [rated(9), BASS], converter: CONVERTER };
    expect(ways({ equipment })).toEqual({ subwoofer: 'line' });
    expect(ways({ equipment, feeds: [front] })).toEqual({});
    expect(ways({ equipment, taps: [atLine, atLine] })).toEqual({});
  });

  it('goes not what is to be treated, what is too weak beside a converter, or what has no amplifier.', () => {
    const equipment = { amplifiers: [FRONT, BASS] };
    const treated = [
      feedOf([feedTapOf('b')], { output: 'subwoofer', summed: true }),
      feedOf([feedTapOf('b', { delaySeconds: 1e-4 })], { output: 'subwoofer' }),
      feedOf([feedTapOf('b', { trimDb: -2 })], { output: 'subwoofer' }),
    ];
    for (const feed of treated) expect(ways({ equipment, feeds: [front, feed] })).toEqual({});
    const unknownBass = { verdict: 'cannot be told' };
    expect(ways({ equipment, restoration: unknownBass })).toEqual({});
    const weak = { level: 'line', voltsRms: measured({ value: 0.19, plusMinus: 0 }) } as const;
    expect(ways({ equipment, taps: [{}, weak] })).toEqual({});
    expect(ways({ equipment: { amplifiers: [FRONT] } })).toEqual({});
    expect(ways({ equipment: null })).toEqual({});
  });
});
