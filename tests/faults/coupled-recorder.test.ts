import { describe, expect, test } from 'vitest';
import { type FindingOf, findingsOf } from '../../src/model/finding.ts';
import { codeOf } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { summaryLines } from '../../src/report/verdicts.ts';
import { type ExampleName, exampleScenario } from '../../src/simulate/examples.ts';
import type { ScenarioInput } from '../../src/simulate/scenario.ts';
import { expectNear } from '../end-to-end/expect-near.ts';
import { someOf } from '../some-of.ts';
import { analysedSpoilt } from './spoilt.ts';

/** A capacitor (first order) or a transformer (second) in the recorder's input, and whether the loop take was recorded. */
interface Coupled {
  readonly hz: number;
  readonly order: 1 | 2;
  readonly loop?: boolean;
  readonly more?: Partial<ScenarioInput>;
}

/** Both fronts of the examples are alike: one serves where nothing is asked of two. */
const ONE_TAP = { taps: [{ id: 'front-left', side: 'left', position: 'front' }] } as const;

function analysed(name: ExampleName, { hz, order, loop = false, more = {} }: Coupled): Results {
  return analysedSpoilt({
    scenario: exampleScenario(name, {
      track: 'response only',
      settings: [16, 20, 26],
      files: { loop },
      recorder: { couplingHz: hz, couplingOrder: order },
      ...more,
    }),
  });
}
const bandOf = (results: Results, tapId: string): FindingOf<'band'> =>
  findingsOf(results.findings, 'band').find(({ tapIds }) => tapIds[0] === tapId)!;
const asksForLoop = (results: Results) =>
  results.checks!.recordNext.some(({ why }) => codeOf(why) === 'recorder may lose bass');

describe('bass that the recorder’s own input loses', () => {
  test.each([
    { hz: 20, order: 1 },
    { hz: 40, order: 2, more: ONE_TAP },
  ] as const)(
    'order $order at $hz Hz, no loop take: said beside the band limit, with what to record',
    (coupling) => {
      const results = analysed('flat full range', coupling);
      const bands = findingsOf(results.findings, 'band');
      for (const { doubts } of bands) expect(doubts?.map(({ kind }) => kind)).toEqual(['low end']);
      // Noise may leave it open at one of two whether a filter or EQ does it.
      for (const { lowEdge, lowEdgeMayBeRecorder } of someOf(bands.filter((band) => band.lowEdge !== null))) {
        expect(lowEdgeMayBeRecorder).toBe(true);
        // Closed form: a Butterworth high-pass is 3 dB down at its corner, whatever its order.
        expectNear(lowEdge!.minus3Hz, coupling.hz, 0.01 * coupling.hz);
      }
      for (const { verdict } of findingsOf(results.findings, 'bass-change')) expect(verdict).toBe('steady');
      expect(summaryLines(results).join('\n')).toMatch(
        /whether the radio or the recorder loses the lowest bass.*loop take/,
      );
      expect(asksForLoop(results)).toBe(true);
    },
  );

  test.each([
    { hz: 20, order: 1 },
    { hz: 40, order: 2 },
    // Of these the loop take itself has too little left at the lowest frequencies to divide by.
    { hz: 57, order: 2 },
    { hz: 110, order: 2 },
  ] as const)('order $order at $hz Hz, with the loop take: divided out', (coupling) => {
    const results = analysed('flat full range', { ...coupling, loop: true, more: ONE_TAP });
    expect(findingsOf(results.findings, 'band')).toMatchObject([{ verdict: 'full range', lowEdge: null }]);
    expect(asksForLoop(results)).toBe(false);
  });

  test.each([
    { hz: 80, order: 2 },
    { hz: 110, order: 1, more: ONE_TAP },
    { hz: 118, order: 2, more: ONE_TAP },
  ] as const)('order $order at $hz Hz on every file is not called the radio’s band limit', (coupling) => {
    const bands = findingsOf(analysed('flat full range', coupling).findings, 'band');
    for (const { verdict, reason, lowEdge } of bands) {
      expect([verdict, reason]).toEqual(['cannot be told', { code: 'radio or recorder loses the low end' }]);
      expectNear(lowEdge!.minus3Hz, coupling.hz, 0.01 * coupling.hz);
    }
  });

  test('with a loop take a corner of 20 Hz is neither an automatic gain nor a limit, and the bass is told to the decibel', () => {
    const scenario = (loop: boolean, couplingHz: number | null) =>
      exampleScenario('shelf loss', {
        ...ONE_TAP,
        settings: [8, 12, 16, 26],
        files: { loop },
        recorder: { couplingHz },
      });
    const [told, plain] = [scenario(true, 20.5), scenario(false, null)].map((one) =>
      findingsOf(analysedSpoilt({ scenario: one }).findings, 'bass-change'),
    );
    expect(told).toHaveLength(1);
    told.forEach((finding, tap) => {
      expect([finding.verdict, finding.doubts]).toEqual(['falls with volume', undefined]);
      finding.changes.forEach(({ changeDb }, s) => {
        changeDb.forEach((change, at) => {
          expectNear(change, (plain[tap].changes[s].changeDb[at] as { value: number }).value, 0.03);
        });
      });
    });
  });

  test.each([
    [1, [8, 16, 24, 32]],
    [2, [8, 16, 24]],
  ])(
    'a transformer of 35 Hz whose filter is told at one tap and not at the other, noise %d: doubted at both',
    (seed, settings) => {
      const results = analysed('flat full range', {
        hz: 35,
        order: 2,
        more: { seed, settings, everyTap: { noise: { snrDb: 62 } } },
      });
      for (const { lowEdge, lowEdgeMayBeRecorder } of findingsOf(results.findings, 'band')) {
        expect(lowEdgeMayBeRecorder).toBe(true);
        expectNear(lowEdge!.minus3Hz, 35, 0.01 * 35);
      }
      expect(asksForLoop(results)).toBe(true);
    },
  );

  test('a loop take without the track is named, and the doubt stays', () => {
    const results = analysedSpoilt({
      scenario: exampleScenario('flat full range', {
        track: 'response only',
        ...ONE_TAP,
        settings: [20],
        files: { loop: true },
        recorder: { couplingHz: 20 },
      }),
      spoil: ({ file, channels }) => {
        if (file === 'loop.wav') for (const channel of channels) channel.fill(0);
      },
    });
    expect(results.notes.map(({ file }) => file)).toEqual(['loop.wav']);
    expect(bandOf(results, 'front-left').doubts).toMatchObject([{ kind: 'low end' }]);
  });

  test('a dash tap that ends far above shows nothing of it; the subwoofer beside a full-range tap shows the same', () => {
    const split = analysed('butterworth 4', { hz: 20, order: 1 });
    expect(bandOf(split, 'door-left').lowEdgeMayBeRecorder).toBe(true);
    expect(bandOf(split, 'dash-left').lowEdgeMayBeRecorder).toBeUndefined();
    const subwoofer = analysed('subwoofer tap', { hz: 40, order: 1 });
    for (const tapId of ['front-left', 'subwoofer'])
      expect(bandOf(subwoofer, tapId).lowEdgeMayBeRecorder).toBe(true);
  });
});

describe('bass that the radio filters away', () => {
  const highPass = (cornerHz: number, order: number) => [
    { side: 'high-pass', family: 'butterworth', order, cornerHz } as const,
  ];
  test.each([
    ['at one of two taps only', highPass(40, 2), []],
    ['at two taps by different corners', highPass(40, 2), highPass(25, 2)],
    ['steeper than a transformer', highPass(40, 4), highPass(40, 4)],
    ['far higher than a recorder would', highPass(150, 2), highPass(150, 2)],
  ])('%s: the recorder is not blamed', (_, left, right) => {
    const results = analysedSpoilt({
      scenario: exampleScenario('flat full range', {
        track: 'response only',
        settings: [20],
        taps: [
          { id: 'front-left', side: 'left', crossover: left },
          { id: 'front-right', side: 'right', crossover: right },
        ],
      }),
    });
    for (const { lowEdgeMayBeRecorder } of findingsOf(results.findings, 'band'))
      expect(lowEdgeMayBeRecorder).toBeUndefined();
    expect(asksForLoop(results)).toBe(false);
  });
});
