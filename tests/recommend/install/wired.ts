import type { ChainTap } from '../../../src/model/chain.ts';
import { measured } from '../../../src/model/measured.ts';
import type { Feed } from '../../../src/recommend/feeds/feed.ts';

/** Outputs of 8 V and what is fed from them, with what a test changes. */
export const tapOf = (part: Partial<ChainTap>) =>
  ({
    tapId: 'a',
    level: 'speaker',
    voltsRms: measured({ value: 8, plusMinus: 0.4 }),
    mostVoltsPeak: null,
    ...part,
  }) as ChainTap;
export const feedOf = (taps: object[], part: object = {}) =>
  ({ output: 'front', summed: false, taps, ...part }) as unknown as Feed;
export const feedTapOf = (tapId: string, part: object = {}) => ({
  tapId,
  polarity: 'as wired',
  trimDb: 0,
  delaySeconds: 0,
  ...part,
});
