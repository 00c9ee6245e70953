import { describe, expect, it } from 'vitest';
import type { FittedTap, UnfittedTap } from '../../../src/findings/band/fitted-tap.ts';
import { recorderLowEndDoubts } from '../../../src/findings/band/recorder-low-end.ts';
import type { FindingOf } from '../../../src/model/finding.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { measured, notMeasurable } from '../../../src/model/measured.ts';

interface Low {
  readonly tapId: string;
  /** Of a Butterworth high-pass; null where the band goes on down. */
  readonly cornerHz: number | null;
  readonly order?: number;
  readonly dividedOut?: boolean;
  readonly fromHz?: number;
  /** Whether noise leaves it open if a filter or EQ makes it: the finding then has no edge. */
  readonly isOpen?: boolean;
  /** What the band finding says, where it is not the fit's corner with its slope. */
  readonly lowEdge?: Partial<NonNullable<FindingOf<'band'>['lowEdge']>> | null;
}

function tapOf({ cornerHz, order = 1, dividedOut = false, fromHz = 12 }: Low): FittedTap {
  const shape = { kind: 'edge', side: 'high-pass', family: 'butterworth', order } as const;
  const best = {
    low: cornerHz === null ? null : shape,
    high: null,
    extras: [],
    fit: {
      shape: { sampleRateHz: null, terms: cornerHz === null ? [] : [shape] },
      parameters: Float64Array.of(0, 0, ...(cornerHz === null ? [] : [Math.log(cornerHz)])),
    },
  };
  return {
    best,
    rivals: [],
    measurements: [{ recorder: { dividedOut } }],
    data: { frequencyHz: gridFrequencyHz.filter((hz) => hz >= fromHz) },
  } as unknown as FittedTap;
}
const bandOf = ({ tapId, cornerHz, lowEdge, isOpen = false }: Low) =>
  ({
    kind: 'band',
    tapIds: [tapId],
    reason: isOpen ? { code: 'ends in doubt', ends: [{ side: 'low', why: 'filter or EQ' }] } : null,
    lowEdge:
      isOpen || (cornerHz === null && lowEdge == null)
        ? null
        : {
            minus3Hz: measured({ value: cornerHz ?? 0, plusMinus: 1 }),
            slopeDbPerOctave: 6,
            ...lowEdge,
          },
  }) as unknown as FindingOf<'band'>;
const doubted = (...taps: readonly Low[]) =>
  recorderLowEndDoubts(taps.map(bandOf), taps.map(tapOf)).flatMap(({ tapIds }) => tapIds);
const UNKNOWN = notMeasurable({ code: 'filter or EQ makes the fall' });

describe('a low end that the recorder may make', () => {
  it('is that of an output too whose end noise leaves open, which speaks against no other.', () => {
    const told = { tapId: 'a', cornerHz: 60 };
    expect(doubted(told, { tapId: 'b', cornerHz: 62, isOpen: true })).toEqual(['a', 'b']);
    // Where the fit has no edge, nothing is said of the open one.
    expect(doubted(told, { tapId: 'b', cornerHz: null, isOpen: true })).toEqual(['a']);
    expect(doubted(told, { tapId: 'b', cornerHz: null })).toEqual([]);
  });

  it('is one that all outputs have alike, gently, up to 120 Hz.', () => {
    const pair = (left: number, right: number, order = 1) =>
      doubted({ tapId: 'a', cornerHz: left, order }, { tapId: 'b', cornerHz: right, order });
    expect(pair(60, 65)).toEqual(['a', 'b']);
    expect(pair(60, 77)).toEqual(['a', 'b']);
    expect(pair(60, 79)).toEqual([]);
    expect(pair(60, 65, 2)).toEqual(['a', 'b']);
    expect(pair(60, 65, 3)).toEqual([]);
    expect([pair(115, 119), pair(125, 125)]).toEqual([['a', 'b'], []]);
  });

  it('is the radio’s where the recorder’s shape was divided out, or another output goes on below.', () => {
    const one: Low = { tapId: 'a', cornerHz: 60 };
    expect(doubted(one)).toEqual(['a']);
    expect(doubted({ ...one, dividedOut: true })).toEqual([]);
    expect(doubted(one, { tapId: 'b', cornerHz: null })).toEqual([]);
    // An output that begins one and a half times as high shows nothing of it.
    expect(doubted(one, { tapId: 'b', cornerHz: null, fromHz: 95 })).toEqual(['a']);
    expect(doubted(one, { tapId: 'b', cornerHz: null, fromHz: 85 })).toEqual([]);
  });

  it('is that of an output too whose filter could not be told, where it falls within 1.3 of the others.', () => {
    const one: Low = { tapId: 'a', cornerHz: 60 };
    const vague = (minus3Hz: number, slopeDbPerOctave: object | number = UNKNOWN): Low => ({
      tapId: 'b',
      cornerHz: null,
      lowEdge: {
        minus3Hz: measured({ value: minus3Hz, plusMinus: 1 }),
        slopeDbPerOctave,
      } as NonNullable<Low['lowEdge']>,
    });
    expect([doubted(one, vague(77)), doubted(one, vague(47))]).toEqual([
      ['a', 'b'],
      ['a', 'b'],
    ]);
    expect([doubted(one, vague(79)), doubted(one, vague(45)), doubted(one, vague(60, 24))]).toEqual([
      [],
      [],
      [],
    ]);
    const notRead = { ...vague(60), lowEdge: { minus3Hz: UNKNOWN, slopeDbPerOctave: UNKNOWN } } as Low;
    expect(doubted(one, notRead)).toEqual([]);
  });

  it('says nothing of outputs that no fit explains, or where there are none.', () => {
    const unfitted = { tapId: 'b' } as unknown as UnfittedTap;
    const taps: Low[] = [{ tapId: 'a', cornerHz: 60 }];
    expect(
      recorderLowEndDoubts(
        [...taps.map(bandOf), bandOf({ tapId: 'b', cornerHz: null })],
        [...taps.map(tapOf), unfitted],
      ),
    ).toMatchObject([
      {
        kind: 'low end',
        reason: { code: 'radio or recorder loses the low end' },
        tapIds: ['a'],
        settings: null,
      },
    ]);
    expect(recorderLowEndDoubts([], [])).toEqual([]);
  });
});
