import type { ChannelFacts, TakeFacts } from '../../src/model/check.ts';

/** A channel and a take of which nothing is to be said, but for what is given. */
export function channelFacts(part: Partial<ChannelFacts> = {}): ChannelFacts {
  return {
    tapId: 'front-left',
    channel: 1,
    levelDbFs: -20,
    peakDbFs: -10,
    clippedRuns: 0,
    clippedFromDriveDbFs: null,
    gainChangeDb: { value: 0, plusMinus: 0.05 },
    ladderSpreadDb: 0.1,
    leadInExcessDb: 0,
    dcOffset: 0,
    noiseDbFs: -90,
    carries: 'left',
    sameAsTapId: null,
    mutedUpToHz: null,
    knocks: [],
    ...part,
  };
}

export function takeFacts(part: Partial<TakeFacts> = {}): TakeFacts {
  return {
    file: 'take.wav',
    setting: 20,
    takeStartSeconds: 1,
    track: 'full',
    missingSections: [],
    clockPpm: { value: 20, plusMinus: 0.1 },
    channels: [channelFacts()],
    ...part,
  };
}
