import { expect, it } from 'vitest';
import { codeOf } from '../../../src/model/reason.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, gainDb, pair, planInput, type SyntheticTap } from '../synthetic.ts';

function missing(taps: SyntheticTap[]) {
  const equipment = {
    amplifiers: [{ feeds: ['front' as const, 'rear' as const], channels: 4, ratedWatts: 60 }],
  };
  const plan = recommend(planInput({ taps, settings: [12, 16, 20], volts: { at: 20, rms: 5 }, equipment }));
  return recommendationsOf(plan, 'cannot-be-done').filter(
    ({ bindingLimit }) =>
      typeof bindingLimit !== 'string' && bindingLimit.code === 'no output recorded for it',
  );
}

it('a subwoofer is not left out in silence where bass comes out on one side only', () => {
  const limits = (taps: SyntheticTap[]) => {
    const equipment = {
      amplifiers: [
        { feeds: ['front' as const], ratedWatts: 60 },
        { feeds: ['subwoofer' as const], ratedWatts: 300 },
      ],
    };
    const radio = { taps, settings: [12, 16, 20], volts: { at: 20, rms: 5 }, equipment };
    return recommendationsOf(recommend(planInput(radio)), 'cannot-be-done').map(
      ({ wanted, bindingLimit }) => [wanted, codeOf(bindingLimit)],
    );
  };
  const tweeters = pair('front', {
    response: (hz) => gainDb(hz < 200 ? -60 : 0),
    band: { verdict: 'band-limited' },
  });
  const [left, right] = pair('rear', { band: FULL_RANGE });
  expect(limits([...tweeters, left])).toContainEqual([
    { code: 'gains for', outputs: ['subwoofer'] },
    'no pair carries bass',
  ]);
  expect(limits([...tweeters, left, right]).map(([, code]) => code)).not.toContain('no pair carries bass');
});

it('an amplifier for speakers whose outputs nobody recorded is told, with what else would feed it', () => {
  const rears = pair('rear', { band: FULL_RANGE });
  expect(missing(rears)).toMatchObject([
    {
      wanted: { code: 'gains for', outputs: ['front'] },
      nearest: { code: 'record it or feed it from', tapIds: ['rear left', 'rear right'] },
    },
  ]);
  expect(missing([...pair('front', { band: FULL_RANGE }), ...rears])).toEqual([]);
});
