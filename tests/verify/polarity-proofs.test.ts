import { describe, expect, it } from 'vitest';
import type { Proof } from '../../src/model/verification.ts';
import { type Judged, polarityProofs } from '../../src/verify/polarity-proofs.ts';
import type { RecordedFeed } from '../../src/verify/recorded-feed.ts';
import type { ExactTap } from '../findings/exact-responses.ts';
import { type ExactRecording, fitOf, plannedFeed, recordedFeed, recording } from './exact-recordings.ts';

interface Given {
  readonly output?: string;
  readonly side?: string;
  readonly tap?: ExactTap | undefined;
  readonly gainDb?: number;
  readonly inverted?: boolean;
  readonly node?: RecordedFeed['node'] | undefined;
  readonly more?: ExactRecording;
}

function judged({
  output = 'front',
  side = 'left',
  tap = {},
  gainDb = 0,
  inverted,
  node,
  more,
}: Given): Judged {
  const planned = plannedFeed({ inverted: inverted ?? false, feed: { output, side } });
  const measurements = [recording({ left: tap, ...more })];
  return { recorded: recordedFeed({ planned, node, measurements }), fit: fitOf({ gainDb }) };
}

const ask = (...given: Given[]): Proof[][] => [...polarityProofs(given.map(judged)).values()];
const SUB: Given = { output: 'subwoofer', side: 'both', more: { trustedHz: [12, 150] } };
const asPlanned = { what: 'polarity', verdict: 'pass', knob: null, text: { code: 'polarity as planned' } };

describe('polarity behind an install', () => {
  it('fails for the one that is turned round, and passes for the others.', () => {
    const [[left], [right], [sub]] = ask({}, { side: 'right', tap: { inverted: true } }, SUB);
    expect(left).toMatchObject({ ...asPlanned, setting: 20 });
    expect(right).toMatchObject({
      verdict: 'fail',
      knob: 'polarity',
      text: { code: 'polarity is wrong', inverted: true, node: 'amplifier output' },
    });
    expect(sub).toMatchObject(asPlanned);
  });

  it('passes where every feed is inverted alike: nothing cancels.', () => {
    const tap = { inverted: true };
    const all = ask({ tap }, { side: 'right', tap }, { ...SUB, tap });
    expect(all.map(([proof]) => proof)).toEqual(
      all.map(() =>
        expect.objectContaining({ verdict: 'pass', text: { code: 'every feed is inverted alike' } }),
      ),
    );
    expect(all).toHaveLength(3);
    // One alone has no other to be alike with.
    expect(ask({ tap })[0][0].verdict).toBe('fail');
  });

  it('is right inverted where the plan says so, and wrong as wired.', () => {
    const planned = { ...SUB, inverted: true };
    expect(ask({}, { ...planned, tap: { inverted: true } })[1][0]).toMatchObject(asPlanned);
    expect(ask({}, planned)[1][0]).toMatchObject({ verdict: 'fail', text: { inverted: false } });
  });

  it('of a subwoofer alone, or of another take, has nothing to be told against.', () => {
    const notChecked = { verdict: 'not told', text: { code: 'polarity needs a reference' } };
    expect(ask(SUB)[0][0]).toMatchObject({ ...notChecked, setting: null });
    const elsewhere = { ...SUB, more: { ...SUB.more, timeOrigin: 'another file' } };
    expect(ask({}, elsewhere)[1][0]).toMatchObject(notChecked);
    // Three quarters of a turn at 60 Hz.
    const late = { ...SUB, tap: { delaySeconds: 0.0125 } };
    expect(ask({}, late)[1][0]).toMatchObject({
      verdict: 'not told',
      text: { code: 'polarity lies between' },
    });
  });
});

describe('left against right', () => {
  const sides = (left: Given, right: Given) =>
    ask({ ...left, side: 'left' }, { ...right, side: 'right' })[1].filter(
      ({ what }) => what === 'left against right',
    );

  it('is the right’s gain less the left’s, within 1 dB, and the right’s knob.', () => {
    const [level] = sides({ gainDb: 2 }, { gainDb: 0.5 });
    expect(level).toMatchObject({
      verdict: 'fail',
      found: -1.5,
      expected: 0,
      unit: 'dB',
      tolerance: 1,
      knob: 'amplifier gain',
    });
    expect(level.text).toEqual({ code: 'right level against left', db: -1.5, passes: false });
    expect(sides({ gainDb: 0.5 }, { gainDb: 1.4 })[0]).toMatchObject({ verdict: 'pass', knob: null });
    const node = 'converter output' as const;
    expect(sides({ node }, { node, gainDb: 3 })[0].knob).toBe('converter level');
  });

  it('is the right’s arrival less the left’s, within 30 microseconds.', () => {
    const apart = (left: number, right: number) =>
      sides({ tap: { delaySeconds: left * 1e-6 } }, { tap: { delaySeconds: right * 1e-6 } })[1];
    expect(apart(500, 535)).toMatchObject({
      verdict: 'fail',
      knob: 'delay',
      setting: 20,
      expected: 0,
      tolerance: 30,
      unit: 'microseconds',
      found: expect.closeTo(35, 3),
      text: { microseconds: expect.closeTo(35, 3), output: 'front' },
    });
    expect(apart(535, 500)).toMatchObject({ verdict: 'fail', found: expect.closeTo(-35, 3) });
    expect(apart(500, 528)).toMatchObject({ verdict: 'pass', knob: null, text: { output: null } });
  });

  it('is not told across time zeros, nodes or outputs.', () => {
    expect(sides({}, { more: { timeOrigin: 'another file' } }).map(({ unit }) => unit)).toEqual(['dB']);
    // A narrow one in another take has no time zero at all.
    const untimed = { more: { timeOrigin: 'another file', trustedHz: [12, 150] as const } };
    expect(sides({}, untimed).map(({ unit }) => unit)).toEqual(['dB']);
    expect(sides(untimed, {}).map(({ unit }) => unit)).toEqual(['dB']);
    expect(sides({ node: 'converter output' }, {})).toEqual([]);
    expect(sides({ output: 'rear' }, {})).toEqual([]);
  });
});
