import { expect } from 'vitest';
import type { ChainFeed } from '../../src/model/chain.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { codeOf } from '../../src/model/reason.ts';
import type { Recommendation } from '../../src/model/recommendation.ts';
import { planAgain } from '../../src/recommend/plan-again.ts';
import { plainText } from '../../src/report/sentence.ts';
import { SHEETS } from '../../src/report/sheets.ts';
import { recommendationWords } from '../../src/report/wording/recommendation-words.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { type CaseName, solvedCase } from './solved-case.ts';

/** Digits of `toBeCloseTo`: half of 10^-1.65 is 0.0112. */
const WITHIN_A_HUNDREDTH = 1.65;

export function planOf(name: CaseName): readonly Recommendation[] {
  return solvedCase(name).results.recommendations;
}

export function feedOf(name: CaseName, output: ChainFeed['output']): ChainFeed {
  return solvedCase(name).results.chain!.feeds.find((feed) => feed.output === output)!;
}

export function voltsAt(feed: ChainFeed, kind: ChainFeed['nodes'][number]['kind']): number {
  const node = feed.nodes.find((one) => one.kind === kind);
  if (node === undefined || isNotMeasurable(node.voltsRms)) throw new Error(`no volts at ${kind}`);
  return node.voltsRms.value;
}

/** Everything that is said of some kinds of advice. */
export function wordsOf(name: CaseName, kinds: readonly Recommendation['kind'][]): string {
  return planOf(name)
    .filter(({ kind }) => kinds.includes(kind))
    .map((item) => {
      const { statements, step } = recommendationWords(item, (tapId) => tapId);
      const step_ = step === null ? [] : [step.setTo, step.check];
      const said = [...statements.map(({ sentence }) => sentence), ...step_].map(plainText);
      return [...said, ...item.reasons.map(reasonText)].join('\n');
    })
    .join('\n');
}

/** What stands on a sheet, without its markup. */
export function sheetText(name: CaseName, fileName: string): string {
  const sheet = SHEETS.find((one) => one.fileName === fileName)!;
  return sheet
    .render(solvedCase(name).results)
    .replace(/<(style|script)[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replace(/&nbsp;|\s+/g, ' ');
}

/** Check, replan and chain, of the same recordings. */
export function expectTheSameOf(name: CaseName): void {
  const { results } = solvedCase(name);
  const chain = results.chain!;
  const known = (tapId: string) =>
    results.checks!.soFar!.find(({ tapIds }) => tapIds.includes(tapId))?.known ?? [];
  const used = chain.taps.filter(({ inUse }) => inUse);
  // The worst of the outputs in use decides how far the volume goes.
  const clean = used.flatMap(({ tapId }) =>
    known(tapId).flatMap((one) =>
      one.code === 'clips between' ? [one.clean] : one.code === 'clean up to' ? [one.setting] : [],
    ),
  );
  if (chain.volume.cleanSetting !== null) expect(Math.min(...clean)).toBe(chain.volume.cleanSetting);
  else expect(clean.length).toBeLessThan(used.length);
  for (const { tapId, limiter, bandHz } of chain.taps) {
    const codes = known(tapId).map(codeOf);
    if (limiter !== null) expect(codes).toContain('limiter holds bass');
    expect(codes.includes('full range')).toBe(bandHz[0] === null && bandHz[1] === null);
  }
  // Responses are kept with five digits: the same to a hundredth of a volt, a decibel or a hertz.
  const again = planAgain(results, results.session.equipment!).results.chain;
  expect(JSON.parse(JSON.stringify(again))).toEqual(nearly(JSON.parse(JSON.stringify(chain))));
}

/** Every number within a hundredth, the step of what is rounded to hundredths. */
function nearly(value: unknown): unknown {
  if (typeof value === 'number') return expect.closeTo(value, WITHIN_A_HUNDREDTH);
  if (Array.isArray(value)) return value.map(nearly);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, nearly(one)]));
}
