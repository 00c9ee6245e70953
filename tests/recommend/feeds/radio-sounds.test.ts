import { describe, expect, it } from 'vitest';
import type { ChannelFacts, TakeFacts } from '../../../src/model/check.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { notMeasurable } from '../../../src/model/measured.ts';
import { asWritten } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput } from '../synthetic.ts';

/** A take of which only the announcements matter here. */
function takeWith(heard: readonly string[]): TakeFacts {
  const channels = heard.map(
    (tapId) =>
      ({ tapId, announcements: [{ fromSeconds: 3, toSeconds: 5, sections: [] }] }) as unknown as ChannelFacts,
  );
  return {
    file: 'take.wav',
    setting: 12,
    takeStartSeconds: 0,
    track: 'full',
    missingSections: [],
    clockPpm: null,
    channels,
  };
}

function soundsOf(heard: readonly string[], feeds: ('front' | 'rear')[], findings: Finding[] = []) {
  const taps = [...pair('front', { band: FULL_RANGE }), ...pair('rear', { band: FULL_RANGE })];
  const equipment = { amplifiers: [{ feeds, ratedWatts: 75 }] };
  const input = planInput({ taps, settings: [12, 16, 20], volts: null, equipment, findings });
  return recommendationsOf(recommend({ ...input, takes: [takeWith(heard)] }), 'radio-sounds');
}

describe('chimes and prompts', () => {
  it('are left alone on outputs that no feed uses', () => {
    expect(soundsOf(['front left'], ['rear'])[0]).toMatchObject({ action: 'nothing', inUse: [] });
  });

  it('are avoided by an output of the same band and side', () => {
    expect(soundsOf(['front left'], ['front'])[0]).toMatchObject({
      action: 'feed from others',
      instead: [{ tapId: 'front left', byTapId: 'rear left' }],
    });
  });

  it('become louder where every output of the side carries them', () => {
    expect(soundsOf(['front left', 'rear left'], ['front'])[0]).toMatchObject({
      action: 'louder',
      inUse: ['front left'],
    });
  });

  it('need no step where none were heard', () => {
    expect(soundsOf([], ['front', 'rear'])).toEqual([]);
  });
});

it('engine sound is settled before a subwoofer plays', () => {
  const noise: Finding = {
    id: 'noise-front',
    kind: 'noise',
    tapIds: ['front left', 'front right'],
    evidence: [],
    perSetting: [
      {
        setting: 12,
        underQuietToneDbFs: -70,
        underQuietToneVolts: notMeasurable(asWritten('not calibrated')),
        inSilenceDbFs: -70,
      },
    ],
    lines: [],
    mainsHz: null,
    mutesInSilence: false,
    limitedBy: 'radio',
    origins: [{ origin: 'engine sound', moves: true, atVolumeZero: true, combs: [] }],
  };
  expect(soundsOf([], ['front'], [noise])[0]).toMatchObject({
    sound: 'engine sound',
    action: 'settle first',
    restsOn: ['noise-front'],
  });
});
