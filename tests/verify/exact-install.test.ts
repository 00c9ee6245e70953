import { describe, expect, it } from 'vitest';
import { codeOf } from '../../src/model/reason.ts';
import type { Proof, Verification } from '../../src/model/verification.ts';
import {
  atLine,
  type ExactFeed,
  exactPlan,
  FRONT_LEFT,
  FRONT_RIGHT,
  FRONT_VOLTS,
  INPUT,
  installed,
  LINE_VOLTS,
  louder,
  NOTE,
  SUB,
  SUB_VOLTS,
} from './exact-install.ts';

const plan = exactPlan();
const FRONTS = [FRONT_LEFT, FRONT_RIGHT];
const with_ = (feed: ExactFeed, tap: ExactFeed['tap']): ExactFeed => ({
  ...feed,
  tap: { ...feed.tap, ...tap },
});
const proofOf = (found: Verification, tapId: string, what: Proof['what'], unit?: Proof['unit']) =>
  found.feeds
    .find((feed) => feed.tapId === tapId)!
    .proofs.find((proof) => proof.what === what && (unit === undefined || proof.unit === unit));
const turned = ({ turn }: Verification) => turn.map(({ feedId, knob }) => `${feedId}: ${knob}`);

describe('an install as formulas, exactly as planned', () => {
  const found = installed(plan, ...FRONTS, SUB, atLine(FRONT_LEFT), atLine(SUB));

  it('passes, with nothing to turn.', () => {
    expect(found).toMatchObject({
      passes: true,
      turn: [],
      notRecorded: [],
      name: 'synthetic',
      notes: [NOTE],
    });
    const verdicts = found.feeds.flatMap(({ proofs }) => proofs.map(({ verdict }) => verdict));
    expect(verdicts).not.toContain('fail');
    expect(verdicts.filter((verdict) => verdict === 'pass').length).toBeGreaterThan(25);
    // A response-only track tells no clipping and no noise; nothing else is left open.
    const notChecked = found.feeds.flatMap(({ proofs }) =>
      proofs.filter(({ verdict }) => verdict === 'not told'),
    );
    expect([...new Set(notChecked.map(({ what }) => what))]).toEqual(['clipping', 'noise']);
  });

  it('says of each recording what it was made of, and of which files.', () => {
    expect(
      found.feeds.map(({ tapId, output, side, node, restoration }) =>
        [tapId, output, side, node, restoration].join(', '),
      ),
    ).toEqual([
      'front-left, front, left, amplifier output, none',
      'front-right, front, right, amplifier output, none',
      'subwoofer, subwoofer, both, amplifier output, on',
      'front-left-line, front, left, converter output, none',
      'subwoofer-line, subwoofer, both, converter output, on',
    ]);
    expect(found.inputs).toEqual([INPUT]);
  });

  it('has its levels within a tenth of a decibel, its corners at 80 Hz and its 8 dB of restoration.', () => {
    for (const { tapId } of found.feeds) {
      expect(Math.abs(proofOf(found, tapId, 'level')!.found!), tapId).toBeLessThan(0.1);
      // A shelf fitted to a shelf: within a tenth of 8 dB at its deepest in the band.
      const restoration = proofOf(found, tapId, 'restoration');
      if (restoration !== undefined) expect(Math.abs(restoration.found! - 8), tapId).toBeLessThan(0.2);
    }
    const corners = ['front-left', 'front-right', 'subwoofer'].map(
      (id) => proofOf(found, id, 'filter')?.found,
    );
    expect(corners).toEqual([80, 80, 80].map((hz) => expect.closeTo(hz, 3)));
    expect(proofOf(found, 'subwoofer-line', 'filter')).toBeUndefined();
    expect(proofOf(found, 'subwoofer-line', 'restoration')?.verdict).toBe('pass');
  });

  it('writes the volts as left: the subwoofer’s 55 Hz through its low-pass, 1 + (55/80)^4 less (closed form).', () => {
    const left = (tapId: string, toneHz: number, setting: number) =>
      found.feeds
        .find((feed) => feed.tapId === tapId)!
        .asLeft.find((one) => one.toneHz === toneHz && one.setting === setting)?.voltsRms;
    expect(left('subwoofer', 55, 32)).toBeCloseTo(SUB_VOLTS / (1 + (55 / 80) ** 4), 1);
    // 1 dB a setting: 12 dB less at 20.
    expect(left('subwoofer', 55, 20)).toBeCloseTo(SUB_VOLTS / (1 + (55 / 80) ** 4) / 10 ** (12 / 20), 2);
    expect(left('front-left', 997, 32)).toBeCloseTo(FRONT_VOLTS, 1);
    expect(left('subwoofer-line', 55, 32)).toBeCloseTo(LINE_VOLTS, 2);
  });

  it('draws before, planned and after, 0 dB in the middle of what was planned there.', () => {
    const sub = found.feeds.find(({ tapId }) => tapId === 'subwoofer')!;
    const i = sub.frequencyHz.findIndex((hz) => hz > 39.9);
    for (const { setting, beforeDb, plannedDb, afterDb } of sub.curves) {
      expect(Math.abs(afterDb[i]! - plannedDb[i]), `${setting}`).toBeLessThan(0.15);
      // At 40 Hz the shelf has lost most of 8 dB at 32, and nothing at 20; the low-pass takes 20 log10(1 + 1/16).
      const lost = setting === 32 ? 7.9 : 0;
      expect(plannedDb[i] - beforeDb[i]).toBeCloseTo(lost - 20 * Math.log10(1 + 0.5 ** 4), 0);
      const high = sub.frequencyHz.findIndex((hz) => hz > 300);
      expect(plannedDb[high]).toBeLessThan(plannedDb[i] - 30);
    }
    expect(sub.curves.map(({ setting }) => setting)).toEqual([20, 32]);
  });
});

describe('which knob, and which way', () => {
  it('a converter that gives 2 dB too much is turned down to its own reading; the amplifier is left alone.', () => {
    const found = installed(
      plan,
      ...FRONTS.map((one) => louder(one, 2)),
      ...FRONTS.map((one) => louder(atLine(one), 2)),
    );
    expect(proofOf(found, 'front-left', 'level')?.text).toMatchObject({
      code: 'level off the target',
      knob: 'converter level',
      tooHighDb: expect.closeTo(2, 3),
      until: {
        tone: 'meter-997hz-0db',
        setting: 32,
        restoration: 'none',
        volts: expect.closeTo(LINE_VOLTS, 2),
      },
    });
    expect(turned(found)).toEqual(['feed-front-left: converter level', 'feed-front-right: converter level']);
  });

  it('an amplifier 3 dB low behind a converter that is right is turned up to its reading.', () => {
    const found = installed(plan, louder(FRONT_LEFT, -3), FRONT_RIGHT, ...FRONTS.map(atLine));
    expect(proofOf(found, 'front-left', 'level')).toMatchObject({
      verdict: 'fail',
      knob: 'amplifier gain',
      text: {
        tooHighDb: expect.closeTo(-3, 3),
        until: { setting: 32, volts: expect.closeTo(FRONT_VOLTS, 1) },
      },
    });
    expect(proofOf(found, 'front-left-line', 'level')?.verdict).toBe('pass');
    // The right is 3 dB louder than the left; that is the left's fault, which misses its own volts.
    expect(proofOf(found, 'front-right', 'left against right')).toMatchObject({
      verdict: 'fail',
      found: expect.closeTo(3, 3),
    });
    expect(turned(found)).toEqual(['feed-front-left: amplifier gain']);
  });

  it('sides that each meet their volts but differ by more than 1 dB: the right one is turned.', () => {
    const found = installed(plan, louder(FRONT_LEFT, 0.55), louder(FRONT_RIGHT, -0.55));
    expect(['front-left', 'front-right'].map((id) => proofOf(found, id, 'level')?.verdict)).toEqual([
      'pass',
      'pass',
    ]);
    expect(turned(found)).toEqual(['feed-front-right: amplifier gain']);
  });

  it('a gain overlap of 5 dB is part of the plan: 5 dB louder passes, as loud as without it is 5 dB too little.', () => {
    const overlapped = exactPlan({ gainOverlapDb: 5 });
    expect(proofOf(installed(overlapped, louder(SUB, 5)), 'subwoofer', 'level')?.verdict).toBe('pass');
    const low = proofOf(installed(overlapped, SUB), 'subwoofer', 'level');
    expect(low).toMatchObject({ verdict: 'fail', text: { tooHighDb: expect.closeTo(-5, 0) } });
    // The line is not overlapped.
    expect(proofOf(installed(overlapped, atLine(SUB)), 'subwoofer-line', 'level')?.verdict).toBe('pass');
  });

  it('restoration that is off is switched on; half of it is turned up.', () => {
    const off = installed(plan, { ...SUB, losesBass: true });
    expect(proofOf(off, 'subwoofer', 'restoration')?.text).toMatchObject({
      code: 'restoration gives',
      fault: 'off',
    });
    expect(turned(off)).toContain('feed-subwoofer: bass restoration');
    const atFault = installed(plan, { ...atLine(SUB), losesBass: true });
    expect(proofOf(atFault, 'subwoofer-line', 'restoration')?.text).toMatchObject({ fault: 'off' });
  });

  it('a right side that comes 200 microseconds early is named so, whatever both wait together.', () => {
    const late = (seconds: number) => ({ delaySeconds: seconds });
    const found = installed(plan, with_(FRONT_LEFT, late(0.0012)), with_(FRONT_RIGHT, late(0.001)));
    expect(proofOf(found, 'front-right', 'left against right', 'microseconds')).toMatchObject({
      verdict: 'fail',
      knob: 'delay',
      found: expect.closeTo(-200, 0),
    });
    expect(turned(found)).toEqual(['feed-front-right: delay']);
    expect(found.notRecorded).toEqual(['feed-subwoofer']);
  });

  it('a subwoofer turned round is told against the fronts of its take.', () => {
    const found = installed(plan, ...FRONTS, with_(SUB, { inverted: true }));
    expect(proofOf(found, 'subwoofer', 'polarity')).toMatchObject({ verdict: 'fail', knob: 'polarity' });
    expect(proofOf(found, 'front-left', 'polarity')?.verdict).toBe('pass');
    expect(turned(found)).toEqual(['feed-subwoofer: polarity']);
    const alone = installed(plan, with_(SUB, { inverted: true }));
    expect(codeOf(proofOf(alone, 'subwoofer', 'polarity')!.text)).toBe('polarity needs a reference');
  });

  it('wires come before gains, and gains before filters.', () => {
    const edges = [{ side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 120 }] as const;
    const found = installed(
      plan,
      { ...FRONT_LEFT, carries: 'right' },
      with_(louder(FRONT_RIGHT, 2), { edges }),
      with_(louder(SUB, -3), { inverted: true }),
    );
    expect(turned(found)).toEqual([
      'feed-front-left: wiring',
      'feed-subwoofer: polarity',
      'feed-front-right: amplifier gain',
      'feed-subwoofer: amplifier gain',
      'feed-front-right: high-pass',
    ]);
    expect(found.passes).toBe(false);
  });

  it('a feed of which nothing is heard is a wire, and its level is not told twice.', () => {
    const silent = with_({ ...FRONT_LEFT, volts: 1e-6 }, { gainDb: -200 });
    const found = installed(plan, silent);
    expect(found.passes).toBe(false);
    expect(turned(found)).toContain('feed-front-left: wiring');
  });
});
