import { expect, it } from 'vitest';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { likeSides, type SideSums } from '../../../src/recommend/feeds/like-sides.ts';
import { searchSums } from '../../../src/recommend/feeds/search-sums.ts';

/** A door and a dash of one side, both flat: as wired they add to 6 dB, crossed to nothing. */
function side(name: 'left' | 'right', dashSign: 1 | -1 = 1): SideSums {
  const flat = (value: number) => ({
    real: new Float64Array(gridFrequencyHz.length).fill(value),
    imag: new Float64Array(gridFrequencyHz.length),
  });
  const search = {
    candidates: [
      { tapId: `door ${name}`, spectrum: flat(1), penaltyDb: 0 },
      { tapId: `dash ${name}`, spectrum: flat(dashSign), penaltyDb: 0 },
    ],
    wantedHz: [100, 10_000] as const,
    mostTaps: 2,
    trimsDb: [0],
    maximumDelaySeconds: 0,
    delayStepSeconds: 1,
    allowed: (tapIds: readonly string[]) => tapIds.length === 2,
  };
  const taps = ['door', 'dash'].map((position) => ({
    tapId: `${position} ${name}`,
    output: 'front',
    position,
  }));
  return { search, sums: searchSums(search), taps: taps as unknown as SideSums['taps'] };
}
const polarities = (sums: readonly { taps: readonly { polarity: string }[] }[]) =>
  sums[0].taps.map(({ polarity }) => polarity);

it('stay as each has them where both have the same first, though others would cost less', () => {
  const dearer = (one: SideSums): SideSums => ({ ...one, sums: one.sums.toReversed() });
  const [left, right] = likeSides(dearer(side('left')), dearer(side('right')));
  expect([polarities(left), polarities(right)]).toEqual([
    ['as wired', 'inverted'],
    ['as wired', 'inverted'],
  ]);
});

it('are wired unlike where the radio turns one output over: what comes out is alike', () => {
  const [left, right] = likeSides(side('left'), side('right', -1));
  expect([polarities(left), polarities(right)]).toEqual([
    ['as wired', 'as wired'],
    ['as wired', 'inverted'],
  ]);
});

it('are the best of each where one has an output that the other lacks', () => {
  const right = side('right');
  const lone = { ...right, taps: right.taps.slice(0, 1) };
  const left = side('left');
  expect(likeSides(left, lone)).toEqual([left.sums, lone.sums]);
});
