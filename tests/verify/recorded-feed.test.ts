import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { Session, Tap } from '../../src/model/session.ts';
import { asLeftVolts } from '../../src/verify/as-left.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import { recordedFeeds, recordedLevel, refuseUnplanned, trustedIn } from '../../src/verify/recorded-feed.ts';
import { routingProof } from '../../src/verify/routing-proof.ts';
import { sessionOf, tapOf } from '../findings/synthetic.ts';
import { thrown } from '../thrown.ts';
import { plannedFeed, pointAt, recordedFeed, recording } from './exact-recordings.ts';

const PLANNED: PlannedFeed[] = [
  plannedFeed({ feed: { id: 'feed-front-left', output: 'front', side: 'left' } }),
  plannedFeed({ feed: { id: 'feed-front-right', output: 'front', side: 'right' } }),
  plannedFeed({ feed: { id: 'feed-rear-both', output: 'rear', side: 'both' } }),
  plannedFeed({ feed: { id: 'feed-subwoofer', output: 'subwoofer', side: 'both' }, restores: true }),
];

function recorded(...taps: Partial<Tap>[]) {
  const session = sessionOf(taps.map(tapOf));
  const measurements = taps.map(({ id }) => recording({ more: { tapId: id ?? 'front-left' } }));
  return recordedFeeds({ session, measurements, planned: PLANNED });
}
const feedIds = (...taps: Partial<Tap>[]) => recorded(...taps).map(({ planned }) => planned.feed.id);

describe('which feed a recording shows', () => {
  it('goes by place and side of the tap; a feed of both sides takes either.', () => {
    expect(
      feedIds(
        { id: 'a', position: 'door', side: 'left' },
        { id: 'b', position: 'dash', side: 'right' },
        { id: 'c', position: 'rear', side: 'right' },
        { id: 'd', position: 'subwoofer', side: 'both' },
      ),
    ).toEqual(['feed-front-left', 'feed-front-right', 'feed-rear-both', 'feed-subwoofer']);
  });

  it('goes by what the session says before all else.', () => {
    const verifies = { feed: 'feed-subwoofer', node: 'converter output', restoration: 'off' } as const;
    expect(recorded({ position: 'front', side: 'left', verifies })[0]).toMatchObject({
      planned: { feed: { id: 'feed-subwoofer' } },
      node: 'converter output',
      restoration: 'off',
    });
  });

  it('takes a name with line or converter in it for the converter’s output, and restoration for switched on.', () => {
    const nodes = (...ids: string[]) => ids.map((id) => recorded({ id })[0].node);
    const [line, amplifier] = ['converter output', 'amplifier output'];
    expect(nodes('front-left', 'front-left-line', 'LINE2 left', 'converter_left', 'linear left')).toEqual([
      amplifier,
      line,
      line,
      line,
      amplifier,
    ]);
    expect(recorded({ position: 'subwoofer', side: 'both' })[0].restoration).toBe('on');
    expect(recorded({})[0].restoration).toBe('none');
  });

  it('refuses a tap that shows none, and a feed that the plan lacks.', () => {
    const centre = thrown(() => recorded({ id: 'x', position: 'centre' }));
    expect(centre).toMatchObject({ code: 'session-field', parts: { where: 'taps, x, verifies' } });
    expect(centre.parts.nextStep).toContain('verifies: feed-front-left');
    const verifies = { feed: 'feed-subwofer' };
    expect(thrown(() => recorded({ verifies }))).toMatchObject({
      code: 'session-field',
      parts: { found: "'feed-subwofer'" },
    });
  });

  it('refuses only taps that takes were recorded of.', () => {
    const taps = [tapOf({ id: 'x', position: 'centre' }), tapOf({ id: 'front-left' })];
    const session = (kind: string, channels: string[]) =>
      ({ ...sessionOf(taps), recordings: [{ kind, channels }] }) as unknown as Session;
    expect(thrown(() => refuseUnplanned(session('takes', ['front-left', 'x']), PLANNED)).code).toBe(
      'session-field',
    );
    const kept = [session('takes', ['front-left']), session('noise', ['x'])];
    expect(kept.map((one) => refuseUnplanned(one, PLANNED))).toEqual([undefined, undefined]);
  });
});

describe('what was recorded', () => {
  it('adds both sides as they are, and is in volts where calibrated.', () => {
    const both = recording({ left: {}, right: {}, volts: 10 });
    expect(recordedLevel(both)[pointAt(1000)]).toBeCloseTo(20, 9);
    expect(recordedLevel(recording({ left: {}, right: { inverted: true, gainDb: -6.0206 } }))[0]).toBeCloseTo(
      0.5,
      4,
    );
    expect(recordedLevel(recording({ volts: null }))[0]).toBe(1);
    // The imaginary part counts: a quarter of a turn at 1 kHz.
    expect(recordedLevel(recording({ left: { delaySeconds: 0.00025 } }))[pointAt(1000)]).toBeCloseTo(1, 9);
  });

  it('is trusted where the side is that is heard furthest.', () => {
    const trustedOf = (bandHz: [number, number]) =>
      trustedIn(recording({ left: null, right: {}, trustedHz: [100, 1000] }), bandHz).map(
        (i) => gridFrequencyHz[i],
      );
    const found = trustedOf([20, 500]);
    expect(found[0]).toBeGreaterThanOrEqual(100);
    expect(found[0]).toBeLessThan(102);
    expect(found.at(-1)).toBeLessThanOrEqual(500);
    expect(found.at(-1)).toBeGreaterThan(490);
    expect(trustedOf([2000, 4000])).toEqual([]);
  });
});

describe('volts as the install was left', () => {
  it('are what a meter reads for the tones on both sides, to four digits, where the recording is trusted.', () => {
    const edges = [{ side: 'low-pass', family: 'linkwitz-riley', order: 4, cornerHz: 100 }] as const;
    const measurements = [
      recording({ left: { edges }, right: { edges }, volts: 10, setting: 24, trustedHz: [20, 300] }),
    ];
    const planned = plannedFeed({ feed: { id: 'feed-subwoofer' } });
    const found = asLeftVolts(recordedFeed({ planned, measurements, restoration: 'on' }));
    // 20 V, less 1 + (f/100)^4 (closed form): half of it at 100 Hz.
    expect(found).toEqual([
      {
        feedId: 'feed-subwoofer',
        node: 'amplifier output',
        restoration: 'on',
        setting: 24,
        toneHz: 55,
        voltsRms: expect.closeTo(20 / (1 + 0.55 ** 4), 2),
      },
      expect.objectContaining({ toneHz: 100, voltsRms: expect.closeTo(10, 2) }),
    ]);
    expect(asLeftVolts(recordedFeed({ measurements: [recording({ volts: 1 / 3 })] }))[2].voltsRms).toBe(
      0.3333,
    );
    expect(asLeftVolts(recordedFeed({ measurements: [recording({ volts: null })] }))).toEqual([]);
  });
});

describe('the wiring of a feed', () => {
  const routed = (side: string, left: boolean, right: boolean | 'inverted') =>
    routingProof(
      recordedFeed({
        planned: plannedFeed({ feed: { side } }),
        measurements: [
          recording({
            left: left ? {} : null,
            right: right === false ? null : { inverted: right === 'inverted' },
          }),
        ],
      }),
    );

  it('passes where the planned side comes, or both for both.', () => {
    expect(routed('left', true, false)).toMatchObject({
      verdict: 'pass',
      knob: null,
      text: { carries: 'left' },
    });
    expect(routed('right', false, true).verdict).toBe('pass');
    expect(routed('both', true, true).verdict).toBe('pass');
  });

  it('fails for the other side, one side of two, and a difference, which is a wire turned round.', () => {
    const other = routed('left', false, true);
    expect(other).toMatchObject({
      verdict: 'fail',
      knob: 'wiring',
      text: { carries: 'right', wanted: 'left' },
    });
    expect(routed('both', true, false)).toMatchObject({ verdict: 'fail', knob: 'wiring' });
    expect(routed('left', true, true).verdict).toBe('fail');
    expect(routed('both', true, 'inverted')).toMatchObject({ verdict: 'fail', knob: 'polarity' });
  });
});
