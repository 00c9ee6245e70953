import { expect, it } from 'vitest';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import { recommend } from '../recommend.ts';
import { FULL_RANGE, pair, planInput, type SyntheticTap } from '../synthetic.ts';

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
