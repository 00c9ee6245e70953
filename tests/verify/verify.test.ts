import { describe, expect, it } from 'vitest';
import type { AnalogSection } from '../../src/dsp/analog-section.ts';
import { evaluateSections, lowShelfSections, prototypeSections } from '../../src/dsp/filter-prototype.ts';
import {
  type Knob,
  type Proof,
  type Verification,
  verificationSchema,
} from '../../src/model/verification.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { FRONT_VOLTS, type Install, LOSS, SUB_VOLTS, verified } from './installed.ts';

const volume = (voltsRms: number, offDb = 0) => ({
  atSetting: 32,
  voltsRms: voltsRms * 10 ** (offDb / 20),
  dbPerStep: 1,
});

interface Fault {
  readonly fault: string;
  readonly feedId: string;
  readonly what: Proof['what'];
  readonly knob: Knob;
  readonly says: RegExp;
}

/** Several at once, each on another feed: none may hide another, or be blamed on it. */
const FAULTS: [string, Install, Fault[]][] = [
  [
    'a gain 3 dB too high, a loudspeaker the wrong way round, restoration off',
    {
      left: { volume: volume(FRONT_VOLTS, 3) },
      right: { inverted: true },
      sub: { volumeDependent: [LOSS] },
    },
    [
      {
        fault: 'gain',
        feedId: 'feed-front-left',
        what: 'level',
        knob: 'amplifier gain',
        says: /down by 3\.0 dB/,
      },
      {
        fault: 'sign',
        feedId: 'feed-front-right',
        what: 'polarity',
        knob: 'polarity',
        says: /plus and minus/,
      },
      {
        fault: 'off',
        feedId: 'feed-subwoofer',
        what: 'restoration',
        knob: 'bass restoration',
        says: /switch it on/,
      },
    ],
  ],
  [
    'left and right exchanged, the subwoofer the wrong way round with its low-pass at 120 Hz',
    {
      left: { routing: { left: 0, right: 1 } },
      right: { routing: { left: 1, right: 0 } },
      sub: {
        inverted: true,
        crossover: [{ side: 'low-pass', family: 'butterworth', order: 4, cornerHz: 120 }],
      },
    },
    [
      {
        fault: 'left',
        feedId: 'feed-front-left',
        what: 'wiring',
        knob: 'wiring',
        says: /left and right are crossed/,
      },
      {
        fault: 'right',
        feedId: 'feed-front-right',
        what: 'wiring',
        knob: 'wiring',
        says: /left and right are crossed/,
      },
      { fault: 'sign', feedId: 'feed-subwoofer', what: 'polarity', knob: 'polarity', says: /plus and minus/ },
      {
        fault: 'corner',
        feedId: 'feed-subwoofer',
        what: 'filter',
        knob: 'low-pass',
        says: /turn it to 80 Hz/,
      },
    ],
  ],
];

describe('an install held against its plan, through simulated recordings', () => {
  const right = verified({ track: 'full', settings: [20, 32] });

  it('passes where everything is as planned: level within 0.1 dB, corners within 3 %', () => {
    expect(failuresOf(right)).toEqual([]);
    expect(right.passes).toBe(true);
    expect(right.notRecorded).toEqual([]);
    const told = right.feeds.flatMap(({ proofs }) => proofs);
    expect(told.filter(({ verdict }) => verdict === 'not told')).toEqual([]);
    for (const { what, found } of told) {
      if (what === 'level') expect(Math.abs(found ?? Number.NaN)).toBeLessThan(0.1);
      if (what === 'filter') expect(Math.abs((found ?? Number.NaN) / 80 - 1)).toBeLessThan(0.03);
    }
    expect(verificationSchema.parse(JSON.parse(JSON.stringify(right)))).toEqual(right);
  });

  it('draws what came out within 0.3 dB of what was planned, and before without the bass', () => {
    const sub = right.feeds.find(({ feedId }) => feedId === 'feed-subwoofer');
    const loudest = sub?.curves.find(({ setting }) => setting === 32);
    const i = sub?.frequencyHz.findIndex((hz) => hz >= 40) ?? -1;
    expect(
      Math.abs((loudest?.afterDb[i] ?? Number.NaN) - (loudest?.plannedDb[i] ?? Number.NaN)),
    ).toBeLessThan(0.3);
    const hz = sub?.frequencyHz[i] ?? Number.NaN;
    const at = (sections: AnalogSection[], cornerHz: number) => {
      const { real, imag } = evaluateSections(sections, { frequencyHz: hz, cornerHz, sampleRateHz: null });
      return 20 * Math.log10(Math.hypot(real, imag));
    };
    // What the scenario says: the radio's shelf is undone, the amplifier's low-pass added.
    const lowPass = prototypeSections({ family: 'linkwitz-riley', order: 4, side: 'low-pass' });
    const expected = -at(lowShelfSections({ gainDb: -8 }), 160) + at(lowPass, 80);
    const change = (loudest?.afterDb[i] ?? Number.NaN) - (loudest?.beforeDb[i] ?? Number.NaN);
    expect(Math.abs(change - expected)).toBeLessThan(0.3);
  });

  it.each(FAULTS)('finds %s, and names what to turn', (_, install, faults) => {
    const found = verified(install);
    expect(found.passes).toBe(false);
    const failures = failuresOf(found);
    for (const { fault, feedId, what, knob, says } of faults) {
      const failure = failures.find((one) => one.feedId === feedId && one.what === what);
      expect(failure?.knob, fault).toBe(knob);
      expect(failure && reasonText(failure.text), fault).toMatch(says);
      expect(found.turn.map((one) => `${one.feedId} ${one.knob}`)).toContain(`${feedId} ${knob}`);
    }
    // The bass that is missing and the side that is louder follow from these; nothing else is blamed.
    const named = faults.map(({ feedId, what }) => `${feedId} ${what}`);
    const others = failures.filter(({ feedId, what }) => !named.includes(`${feedId} ${what}`));
    expect(others.filter(({ what }) => what !== 'bass' && what !== 'left against right')).toEqual([]);
  });

  it('finds a right side that comes 120 µs behind the left one, and calls it later', () => {
    const found = verified({ right: { delayMicroseconds: 120 } });
    const late = failuresOf(found).find(({ unit }) => unit === 'microseconds');
    expect(late).toMatchObject({ feedId: 'feed-front-right', what: 'left against right', knob: 'delay' });
    expect(Math.abs((late?.found ?? 0) - 120)).toBeLessThan(5);
    expect(late && reasonText(late.text)).toContain('right later than left by');
  });

  it('finds hum at a setting at which the radio alone was not measured', () => {
    const lines = [{ frequencyHz: 100, voltsRms: 0.3, harmonics: 3 }];
    const found = verified({ track: 'full', settings: [26], onlySub: true, sub: { lines } });
    const [noise] = failuresOf(found).filter(({ what }) => what === 'noise');
    expect(noise).toMatchObject({ feedId: 'feed-subwoofer', knob: 'ground', setting: 26 });
    expect(noise.text).toMatchObject({
      code: 'noise is too much',
      linesHz: expect.arrayContaining([expect.closeTo(100, 0)]),
    });
  });

  it('finds an amplifier that clips before its rated power, and how early', () => {
    // Half of the planned volts: a hard clip reaches 1 % of distortion 0.27 dB past the rail (closed form).
    const railVoltsPeak = (SUB_VOLTS * Math.SQRT2) / 2;
    const found = verified({ track: 'full', settings: [32], onlySub: true, sub: { railVoltsPeak } });
    const clipping = failuresOf(found).find(({ what }) => what === 'clipping');
    expect(clipping).toMatchObject({ feedId: 'feed-subwoofer', setting: 32, knob: 'amplifier gain' });
    // The bass tone is 55 Hz: the low-pass takes |1 + (55/80)^4| from it first (Linkwitz-Riley, order 4).
    const lowPassDb = 20 * Math.log10(1 + (55 / 80) ** 4);
    expect(Math.abs((clipping?.found ?? 0) - (-6.02 + 0.27 + lowPassDb))).toBeLessThan(0.2);
    expect(clipping?.text).toMatchObject({
      code: 'clips too early',
      plannedVolts: expect.closeTo(SUB_VOLTS, 0),
    });
  });
});

function failuresOf({ feeds }: Verification): (Proof & { feedId: string })[] {
  return feeds.flatMap(({ feedId, proofs }) =>
    proofs.filter(({ verdict }) => verdict === 'fail').map((one) => ({ ...one, feedId })),
  );
}
