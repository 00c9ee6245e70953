import { evaluateSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import { type Recommendation, recommendationsOf } from '../../src/model/recommendation.ts';

export const way = (side: 'low-pass' | 'high-pass', cornerHz: number) => {
  const sections = prototypeSections({ family: 'linkwitz-riley', order: 4, side });
  return (frequencyHz: number) => evaluateSections(sections, { frequencyHz, cornerHz, sampleRateHz: null });
};

export function feedBySide(plan: readonly Recommendation[], output: string, side: string) {
  return recommendationsOf(plan, 'feed').find((feed) => feed.output === output && feed.side === side)!;
}
