import { describe, expect, it } from 'vitest';
import { anchorsOf } from '../../src/report/anchors.ts';
import { findingGroups } from '../../src/report/finding-groups.ts';
import { firstScreen } from '../../src/report/sections/first-screen.ts';
import { tapLabelOf } from '../../src/report/tap-label.ts';
import { voltTable } from '../../src/report/wording/volt-rows.ts';
import { wordsOf } from '../words/readability.ts';
import { exampleNotKnown, exampleResults } from './example-results.ts';

/** All that has to be read before anything is touched; figures with their units count as one word. */
const MOST_WORDS = 150;

const shown = (results = exampleResults()) => {
  const label = tapLabelOf(results);
  return firstScreen(results, anchorsOf(results, findingGroups(results, label)), label).text;
};

/** What a page of 1280 px shows of it: the first of the drawing's shapes, volts in volts. */
function visibleWords(html: string): string[] {
  const [before, wide, ...others] = html.split(/(?=<svg class="chain)/);
  const after = (others.at(-1) ?? '').split('</svg>')[1] ?? '';
  const text = [before, wide, after]
    .join(' ')
    .replace(/<(span|tspan) class="in-dbu">[^<]*<\/\1>/g, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/(\d)\s(?=(Hz|kHz|V|W|A|dB|dBFS|ms)\b|\u03a9|\u00d7)/g, '$1');
  return wordsOf(text);
}

describe('the first screen', () => {
  it('says what to do in 150 words, the labels of its drawing among them.', () => {
    expect(visibleWords(shown()).length).toBeLessThanOrEqual(MOST_WORDS);
    expect(visibleWords(shown(exampleNotKnown())).length).toBeLessThanOrEqual(MOST_WORDS);
  });

  it('says once what holds for every row of the volts.', () => {
    const { title, conditions, rows } = voltTable(exampleResults().recommendations);
    expect(title).toMatch(/^Volts at \d+$/);
    expect(conditions).toContain('restoration off');
    expect(rows.every(({ at, play }) => at === '' && /^[\d.]+ k?Hz/.test(play))).toBe(true);
  });

  it('gives a row the setting where rows differ in it.', () => {
    const recommendations = exampleResults().recommendations.map((item) =>
      item.kind === 'converter-level' && item.output === 'subwoofer'
        ? { ...item, targets: item.targets.map((target) => ({ ...target, setting: 7 })) }
        : item,
    );
    const { title, rows } = voltTable(recommendations);
    expect(title).toBe('Volts');
    expect(rows.filter(({ at }) => at === '7')).toHaveLength(1);
  });
});
