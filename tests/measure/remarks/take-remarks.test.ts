import { describe, expect, it } from 'vitest';
import { labelRemarks } from '../../../src/measure/remarks/label-remarks.ts';
import { repeatRemarks } from '../../../src/measure/remarks/repeat-remarks.ts';
import { takeRemarks } from '../../../src/measure/remarks/take-remarks.ts';
import { unlikeTakes } from '../../../src/measure/remarks/unlike-takes.ts';
import type { ChannelFacts, Remark, TakeFacts } from '../../../src/model/check.ts';
import { codeOf } from '../../../src/model/reason.ts';
import type { Session } from '../../../src/model/session.ts';
import { sessionOf, tapOf } from '../../findings/synthetic.ts';
import { channelFacts, takeFacts } from '../facts.ts';

const SESSION = sessionOf([tapOf(), tapOf({ id: 'front-right', side: 'right' })]);
const said = (remarks: readonly Remark[]) => remarks.map(({ weight, reason }) => [weight, codeOf(reason)]);
const of = (take: Partial<TakeFacts>, session: Session = SESSION) => {
  const facts = takeFacts(take);
  return said(takeRemarks({ all: [facts], session })[0]);
};
const ofChannel = (channel: Partial<ChannelFacts>, take: Partial<TakeFacts> = {}, session?: Session) =>
  of({ ...take, channels: [channelFacts(channel)] }, session);
const AGAIN = 'record again';

describe('one channel of one take', () => {
  it('is not spoken of where nothing is wrong.', () => {
    expect(ofChannel({})).toEqual([]);
  });

  it('carries nothing, or what another carries, and nothing else is said of it then.', () => {
    expect(ofChannel({ carries: 'nothing', peakDbFs: -80 })).toEqual([[AGAIN, 'nothing on this channel']]);
    expect(ofChannel({ sameAsTapId: 'rear-left', peakDbFs: -80 })).toEqual([
      [AGAIN, 'same signal as another output'],
    ]);
    expect(ofChannel({ isStill: true })).toEqual([[AGAIN, 'silent to the last bit']]);
  });

  it('clips the recorder in a sweep, or on the ladder: at -3 dBFS of drive and below it hides the onset.', () => {
    expect(ofChannel({ clippedRuns: 3, sweepsClipped: 2 })).toEqual([[AGAIN, 'recorder clipped in a sweep']]);
    const ladder = (clippedFromDriveDbFs: number) => ofChannel({ clippedRuns: 3, clippedFromDriveDbFs });
    expect(ladder(-3)).toEqual([[AGAIN, 'recorder clipped on the ladder']]);
    expect(ladder(-2.5)).toEqual([['note', 'recorder clipped on the ladder']]);
    expect(ofChannel({ clippedRuns: 3 })).toEqual([[AGAIN, 'recorder clipped in a sweep']]);
    const short = ofChannel({ clippedRuns: 3, clippedFromDriveDbFs: -1 }, { track: 'response only' });
    expect(short).toEqual([[AGAIN, 'recorder clipped in a sweep']]);
  });

  it('has little headroom above -1 dBFS, a low level below -50, an offset from 2 %.', () => {
    expect(ofChannel({ peakDbFs: -0.9 })).toEqual([['note', 'little headroom']]);
    expect(ofChannel({ peakDbFs: -1.1 })).toEqual([]);
    expect(ofChannel({ peakDbFs: -50.1 })).toEqual([['note', 'low level']]);
    expect(ofChannel({ peakDbFs: -49.9 })).toEqual([]);
    expect(ofChannel({ dcOffset: -0.021 })).toEqual([['note', 'offset at the recorder']]);
    expect(ofChannel({ dcOffset: 0.019 })).toEqual([]);
  });

  it('stands 40 dB over its noise, or is told; less than 20 dB serves nothing.', () => {
    const snr = (db: number) => ofChannel({ levelDbFs: -20, noiseDbFs: -20 - db });
    expect(snr(40.1)).toEqual([]);
    expect(snr(39.9)).toEqual([['note', 'little above the noise']]);
    expect(snr(20.1)).toEqual([['note', 'little above the noise']]);
    expect(snr(19.9)).toEqual([[AGAIN, 'little above the noise']]);
    expect(ofChannel({ levelDbFs: null })).toEqual([]);
    expect(ofChannel({ noiseDbFs: null })).toEqual([]);
  });

  it('changes its gain by more than 0.3 dB and what is uncertain, or along the ladder by 0.5 dB.', () => {
    const change = (value: number, plusMinus = 0.1) => ofChannel({ gainChangeDb: { value, plusMinus } });
    expect(change(-0.41)).toEqual([[AGAIN, 'gain changed within the take']]);
    expect(change(0.41)).toEqual([[AGAIN, 'gain changed within the take']]);
    expect(change(0.39)).toEqual([]);
    expect(change(0.41, 0.2)).toEqual([]);
    expect(ofChannel({ gainChangeDb: null, ladderSpreadDb: 0.51 })).toEqual([
      ['note', 'gain differs along the ladder'],
    ]);
    expect(ofChannel({ ladderSpreadDb: 0.49 })).toEqual([]);
    expect(ofChannel({ tonesAgainstSweep: [{ toneHz: 997, differsDb: 3 }] })).toEqual([
      [AGAIN, 'tone does not follow the sweeps'],
    ]);
  });

  it('begins muted above 30 Hz, or fades in where it costs nothing.', () => {
    expect(ofChannel({ mutedUpToHz: 31 })).toEqual([[AGAIN, 'muted at the start']]);
    expect(ofChannel({ mutedUpToHz: 29 })).toEqual([['note', 'fading in under the sweep']]);
    expect(ofChannel({ leadInExcessDb: -1.1 })).toEqual([['note', 'fading in under the lead-in']]);
    expect(ofChannel({ leadInExcessDb: -0.9 })).toEqual([]);
    expect(ofChannel({ mutedUpToHz: 31, leadInExcessDb: -9 })).toHaveLength(1);
    const seat = sessionOf([tapOf({ position: 'microphone' })]);
    expect(ofChannel({ leadInExcessDb: -9 }, {}, seat)).toEqual([]);
  });

  it('is told with its figures as they are worded: whole ones, and tenths of a gain.', () => {
    const reasonOf = (channel: Partial<ChannelFacts>) =>
      takeRemarks({ all: [takeFacts({ channels: [channelFacts(channel)] })], session: SESSION })[0][0].reason;
    expect(reasonOf({ peakDbFs: -0.46 })).toEqual({ code: 'little headroom', headroomDb: 0.5 });
    expect(reasonOf({ peakDbFs: -53.4 })).toEqual({ code: 'low level', peakDbFs: -53 });
    expect(reasonOf({ levelDbFs: -20, noiseDbFs: -53.4 })).toEqual({
      code: 'little above the noise',
      snrDb: 33,
    });
    expect(reasonOf({ dcOffset: 0.0342 })).toEqual({ code: 'offset at the recorder', percent: 3 });
    expect(reasonOf({ gainChangeDb: { value: -1.26, plusMinus: 0.1 } })).toEqual({
      code: 'gain changed within the take',
      changeDb: -1.3,
    });
    expect(reasonOf({ ladderSpreadDb: 0.77 })).toEqual({
      code: 'gain differs along the ladder',
      spreadDb: 0.8,
    });
    expect(reasonOf({ tonesAgainstSweep: [{ toneHz: 997, differsDb: 3.14 }] })).toEqual({
      code: 'tone does not follow the sweeps',
      toneHz: 997,
      differsDb: 3.1,
    });
    expect(reasonOf({ mutedUpToHz: 88.6 })).toEqual({ code: 'muted at the start', upToHz: 89 });
    expect(reasonOf({ mutedUpToHz: 21.4 })).toEqual({ code: 'fading in under the sweep', upToHz: 21 });
    expect(reasonOf({ leadInExcessDb: -2.34 })).toEqual({
      code: 'fading in under the lead-in',
      lacksDb: 2.3,
    });
    expect(reasonOf({ clippedRuns: 3, sweepsClipped: 2 })).toEqual({
      code: 'recorder clipped in a sweep',
      times: 2,
    });
    expect(reasonOf({ clippedRuns: 3 })).toEqual({ code: 'recorder clipped in a sweep', times: 3 });
  });

  it('is struck: between 30 Hz and 10 kHz it counts, above it is noted, below it is nothing.', () => {
    const knock = (spoiltHz: [number, number] | null) =>
      ofChannel({ knocks: [{ section: 'sweep left', atSeconds: 3, spoiltHz }] });
    expect(knock([100, 200])).toEqual([[AGAIN, 'knock']]);
    expect(knock([9_000, 12_000])).toEqual([[AGAIN, 'knock']]);
    expect(knock([10_100, 12_000])).toEqual([['note', 'knock']]);
    expect(knock(null)).toEqual([['note', 'knock']]);
    expect(knock([10, 29])).toEqual([]);
    expect(knock([10, 31])).toEqual([[AGAIN, 'knock']]);
  });

  it('holds a voice, which the repeated sections make good.', () => {
    const voice = (...sections: string[]) =>
      ofChannel({ announcements: [{ fromSeconds: 2, toSeconds: 3, sections }] });
    expect(voice('sweep left', 'silence')).toEqual([['note', 'chime or voice']]);
    expect(voice('sweep left', 'ladder bass')).toEqual([[AGAIN, 'chime or voice']]);
  });
});

describe('a take', () => {
  it('began late or stopped early, told of the channels that would have heard it.', () => {
    const missing = (missingSections: string[], channels = [channelFacts()]) => {
      const [remark] = takeRemarks({ all: [takeFacts({ missingSections, channels })], session: SESSION })[0];
      return remark === undefined ? null : [codeOf(remark.reason), remark.tapIds];
    };
    const right = channelFacts({ tapId: 'front-right', carries: 'right' });
    expect(missing(['closing left'])).toEqual(['stopped early', ['front-left']]);
    expect(missing(['sweep left', 'closing left'])).toEqual(['sections not heard', ['front-left']]);
    expect(missing(['closing right'], [channelFacts(), right])).toEqual(['stopped early', ['front-right']]);
    expect(missing(['closing right'])).toBeNull();
    expect(missing(['sweep both'], [channelFacts(), right])).toEqual([
      'sections not heard',
      ['front-left', 'front-right'],
    ]);
  });

  it('has its cuts told once: a section that was not heard is no knock and no mute.', () => {
    const channel = {
      mutedUpToHz: 90,
      knocks: [{ section: 'sweep left', atSeconds: 1, spoiltHz: [100, 200] as const }],
    };
    expect(ofChannel(channel, { missingSections: ['sweep left'] })).toEqual([[AGAIN, 'sections not heard']]);
  });

  it('lost samples, holds samples that no recorder makes, or is torn.', () => {
    const timeSlip = { after: 'a', before: 'b', milliseconds: -3 };
    expect(of({ timeSlip })).toEqual([[AGAIN, 'samples lost or added']]);
    // What follows from it is not said beside it, nor are the clocks.
    const slipped = { timeSlip, clockPpm: null };
    expect(ofChannel({ gainChangeDb: { value: 3, plusMinus: 0.1 } }, slipped)).toEqual([
      [AGAIN, 'samples lost or added'],
    ]);
    expect(of({ wild: { count: 2, atSeconds: 3 } })).toEqual([[AGAIN, 'samples that no recorder makes']]);
    expect(of({ tornSections: ['sweep left'] })).toEqual([[AGAIN, 'sweeps contradict each other']]);
    const knocks = [{ section: 'sweep left', atSeconds: 1, spoiltHz: [100, 200] as const }];
    expect(ofChannel({ knocks }, { tornSections: ['sweep left'] })).toEqual([[AGAIN, 'knock']]);
  });

  it('has clocks that are usual within 300 ppm, and told where they are not compared.', () => {
    const ppm = (value: number) => of({ clockPpm: { value, plusMinus: 0.1 } });
    expect([ppm(299), ppm(-299)]).toEqual([[], []]);
    expect([ppm(301), ppm(-301)]).toEqual([[['note', 'clocks far apart']], [['note', 'clocks far apart']]]);
    expect(of({ clockPpm: null })).toEqual([['note', 'clocks not compared']]);
  });

  it('that was copied says nothing of the order of the settings, nor does its copy; their own levels do.', () => {
    const at = (setting: number, levelDbFs: number, more: Partial<TakeFacts> = {}) =>
      takeFacts({ setting, file: `${setting}`, channels: [channelFacts({ levelDbFs })], ...more });
    const codes = (...all: TakeFacts[]) =>
      takeRemarks({ all, session: SESSION }).map((one) => one.map(({ reason }) => codeOf(reason)));
    const odd = 'level fits no neighbour';
    expect(codes(at(10, -40), at(20, -5), at(30, -30), at(40, -20))[1]).toEqual([odd]);
    const sameAs = { file: '20', atSeconds: 1, setting: 20 };
    const copied = codes(at(10, -40), at(20, -5), at(30, -30), at(40, -20), at(50, -5, { sameAs }));
    expect(copied.flat()).not.toContain(odd);
  });

  it('whose gain follows the level says so, and none of what comes of it.', () => {
    const channel = (setting: number, ladderSpreadDb: number) =>
      takeFacts({
        setting,
        file: `${setting}`,
        channels: [
          channelFacts({
            ladderSpreadDb,
            levelDbFs: -40 + setting,
            gainChangeDb: { value: 5, plusMinus: 0.1 },
          }),
        ],
      });
    const [low] = takeRemarks({ all: [channel(10, 8), channel(20, 4)], session: SESSION });
    expect(said(low)).toEqual([[AGAIN, 'gain follows the level']]);
    const [first] = takeRemarks({ all: [channel(10, 2), channel(20, 4)], session: SESSION });
    expect(said(first)).toEqual([[AGAIN, 'gain changed within the take']]);
  });
});

describe('labels', () => {
  const labels = (...channels: Partial<ChannelFacts>[]) =>
    labelRemarks({
      take: takeFacts({ channels: channels.map((one) => channelFacts(one)) }),
      session: SESSION,
    }).map(({ tapIds, reason }) => [codeOf(reason), tapIds]);
  const RIGHT = { tapId: 'front-right', carries: 'right' } as const;

  it('agree with what is carried, or are exchanged, or wrong.', () => {
    expect(labels({}, RIGHT)).toEqual([]);
    expect(labels({ carries: 'right' }, { ...RIGHT, carries: 'left' })).toEqual([
      ['channels swapped', ['front-left', 'front-right']],
    ]);
    expect(labels({ carries: 'right' }, RIGHT)).toEqual([['carries another side', ['front-left']]]);
    expect(labels({ carries: 'left and right' })).toEqual([['carries another side', ['front-left']]]);
    expect(labels({ carries: 'difference' })).toEqual([]);
    expect(labels({ carries: 'nothing' })).toEqual([]);
    expect(labels({ carries: 'right', sameAsTapId: 'front-right' })).toEqual([]);
  });

  it('of both sides want both, and of an unknown side nothing.', () => {
    const session = (side: 'both' | 'unknown') => sessionOf([tapOf({ side })]);
    const wrong = (side: 'both' | 'unknown', carries: ChannelFacts['carries']) =>
      labelRemarks({ take: takeFacts({ channels: [channelFacts({ carries })] }), session: session(side) })
        .length;
    const both = (['left', 'difference', 'left and right'] as const).map((carries) => wrong('both', carries));
    expect([...both, wrong('unknown', 'left')]).toEqual([1, 1, 0, 0]);
  });
});

describe('takes beside each other', () => {
  const repeat = (levelDbFs: number, more: Partial<TakeFacts> = {}) => {
    const first = takeFacts({ file: 'a.wav' });
    const second = takeFacts({ file: 'b.wav', channels: [channelFacts({ levelDbFs })], ...more });
    return repeatRemarks({ take: second, all: [first, second] });
  };

  it('that repeat a setting agree within half a decibel, or one of them is wrong.', () => {
    expect(said(repeat(-20.4))).toEqual([['note', 'averaged with an earlier take']]);
    const [far] = repeat(-20.6);
    expect(far).toMatchObject({
      weight: 'settle',
      reason: { code: 'differs from an earlier take', file: 'a.wav', differsDb: expect.closeTo(0.6, 9) },
    });
    expect(said(repeat(-19.4))).toEqual([['settle', 'differs from an earlier take']]);
    expect(repeat(-30, { setting: 24 })).toEqual([]);
    expect(repeat(-30, { setting: null })).toEqual([]);
  });

  it('that hold the same samples are no repeat, and at two settings neither is sure.', () => {
    const sameAs = (setting: number) => repeat(-20, { sameAs: { file: 'a.wav', atSeconds: 1, setting } });
    expect(said(sameAs(20))).toEqual([['note', 'same samples as another take']]);
    expect(said(sameAs(16))).toEqual([[AGAIN, 'same samples as another take']]);
    const first = takeFacts({ file: 'a.wav', setting: 16 });
    const copy = takeFacts({ file: 'b.wav', sameAs: { file: 'a.wav', atSeconds: 1, setting: 16 } });
    expect(said(repeatRemarks({ take: first, all: [first, copy] }))).toEqual([
      [AGAIN, 'same samples as another take'],
    ]);
    const elsewhere = { ...copy, sameAs: { file: 'a.wav', atSeconds: 2, setting: 16 } };
    expect(repeatRemarks({ take: first, all: [first, elsewhere] })).toEqual([]);
  });

  const own = (setting: number, part: Partial<ChannelFacts>) =>
    takeFacts({
      file: `${setting}.wav`,
      setting,
      channels: [channelFacts({ upToHz: 19_000, clearDb: 60, ...part })],
    });
  const unlike = (...takes: TakeFacts[]) =>
    [...unlikeTakes(takes)].map(([{ setting }, remarks]) => [
      setting,
      remarks.map(({ reason }) => codeOf(reason)),
    ]);

  it('end alike: one that ends two thirds of an octave lower than a quieter one was treated.', () => {
    const lower = (upToHz: number, more: Partial<ChannelFacts> = {}) =>
      unlike(own(20, { levelDbFs: -30 }), own(30, { levelDbFs: -20, upToHz, ...more }));
    const ends = [[30, ['ends lower than a quieter take']]];
    expect(lower(11_900)).toEqual(ends);
    expect(lower(12_100)).toEqual([]);
    expect(lower(11_900, { levelDbFs: -31 })).toEqual([]);
    expect(lower(11_900, { clearDb: 57.1 })).toEqual(ends);
    expect(lower(11_900, { clearDb: 56.9 })).toEqual([]);
    expect(lower(11_900, { carries: 'nothing' })).toEqual([]);
  });

  it('have peaks of their own: three settings with one peak near full scale were normalised.', () => {
    const peaks = (...all: number[]) => unlike(...all.map((peakDbFs, i) => own(10 * (i + 1), { peakDbFs })));
    const code = ['every take has one peak'];
    expect(peaks(-0.3, -0.32, -0.34)).toEqual([
      [10, code],
      [20, code],
      [30, code],
    ]);
    expect(peaks(-0.3, -0.32, -0.36)).toEqual([]);
    expect(peaks(-3.1, -3.1, -3.1)).toEqual([]);
    expect(peaks(-0.3, -0.3)).toEqual([]);
    expect(unlike(...[10, 20, 30].map((setting) => own(setting, { peakDbFs: 0, clippedRuns: 2 })))).toEqual(
      [],
    );
  });
});
