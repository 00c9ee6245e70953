import { describe, expect, it } from 'vitest';
import { radioAtAGlance } from '../../src/report/charts/radio-at-a-glance.ts';
import { exampleResults } from './example-results.ts';

const pictures = radioAtAGlance(exampleResults()).map(({ text }) => text);

/** Fields of the full shade: the output plays there as loud as anywhere in its band. */
function solidSpans(picture: string): [number, number][] {
  const [path = ''] = /<path d="([^"]*)"[^>]*fill-opacity="1.00"/.exec(picture)?.slice(1) ?? [];
  return [...path.matchAll(/M(\d+) \d+H(\d+)/g)].map(([, from, to]) => [Number(from), Number(to)]);
}

/** Where a frequency is named under the map. */
function placeOf(picture: string, name: string): number {
  return Number(new RegExp(`<text x="([\\d.]+)"[^>]*>${name}</text>`).exec(picture)?.[1]);
}

describe('the radio at a glance', () => {
  const picture = (name: string) => pictures.find((one) => one.includes(`font-weight="600">${name}`)) ?? '';
  const isSolid = (name: string, hz: string) =>
    solidSpans(picture(name)).some(
      ([from, to]) => placeOf(picture(name), hz) > from && placeOf(picture(name), hz) < to,
    );

  // The example's dash plays above 3 kHz, its door below, its rear everything (`example-results.ts`).
  it('is solid where an output plays, and blank where it does not.', () => {
    expect(['250', '8k'].map((hz) => isSolid('Dash', hz))).toEqual([false, true]);
    expect(['250', '8k'].map((hz) => isSolid('Door', hz))).toEqual([true, false]);
    expect(['250', '8k'].map((hz) => isSolid('Rear', hz))).toEqual([true, true]);
  });

  it('draws outputs that agree once, with their facts, the lowest setting at the foot.', () => {
    expect(pictures).toHaveLength(3);
    expect(picture('Dash')).toMatch(/from [\d.]+ kHz up/);
    const [foot, top] = [...picture('Rear').matchAll(/y="([\d.]+)">(\d+)<\/text>/g)];
    expect(Number(foot?.[2])).toBeLessThan(Number(top?.[2]));
    expect(Number(foot?.[1])).toBeGreaterThan(Number(top?.[1]));
  });
});
