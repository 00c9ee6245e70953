import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/model/chain.ts';
import type { LineOrigin } from '../../../src/model/finding.ts';
import { codeOf } from '../../../src/model/reason.ts';
import type { Restoration } from '../../../src/recommend/bass/restoration.ts';
import type { HighestClean } from '../../../src/recommend/chain/highest-clean-setting.ts';
import { cannotBeDone } from '../../../src/recommend/install/cannot-be-done.ts';
import { groundingAdvice } from '../../../src/recommend/install/grounding.ts';
import type { Order } from '../../../src/recommend/install/order-sheet.ts';
import { padFor, ratingFor } from '../../../src/recommend/install/pad-resistors.ts';
import { contextOf, finding } from '../chain/context.ts';

const heard = (part: object, engineRunning = false) =>
  groundingAdvice(
    contextOf({
      session: { supply: { volts: 14.4, engineRunning } },
      findings: [
        finding({
          kind: 'noise',
          tapIds: ['front left'],
          lines: [],
          mainsHz: null,
          limitedBy: 'radio',
          mutesInSilence: false,
          ...part,
        }),
      ],
    }),
  );
const lines = (...hz: number[]) => ({ lines: hz.map((frequencyHz) => ({ frequencyHz, levelDbFs: -80 })) });
const kinds = (...of: Parameters<typeof heard>) => heard(...of).map(({ noise }) => noise);

describe('what noise asks of the grounds', () => {
  it('is told by the lines of the takes where there are no noise takes.', () => {
    expect(kinds({})).toEqual(['hiss']);
    expect(kinds({ limitedBy: 'recorder' })).toEqual(['recorder']);
    expect(kinds({ mainsHz: 50, ...lines(50, 100) })).toEqual(['mains hum']);
    expect(kinds(lines(731))).toEqual(['lines of unknown origin']);
  });

  it('with the engine on is a comb above 200 Hz, or a sound of the engine.', () => {
    expect(kinds(lines(300, 600, 900), true)).toEqual(['alternator']);
    expect(kinds(lines(300, 600, 905), true)).toEqual(['alternator']);
    expect(kinds(lines(300, 600, 915), true)).toEqual(['engine-related tones']);
    expect(kinds(lines(60, 120, 180), true)).toEqual(['engine-related tones']);
    expect(kinds(lines(201), true)).toEqual(['alternator']);
    expect(kinds(lines(199), true)).toEqual(['engine-related tones']);
  });

  it('goes by the noise takes where there are any, with what was seen.', () => {
    const origin = (name: string, part: object = {}): LineOrigin =>
      ({
        origin: name,
        moves: true,
        atVolumeZero: false,
        combs: [{ engine: 'idle', fundamentalHz: 400 }],
        ...part,
      }) as unknown as LineOrigin;
    const [alternator] = heard({ origins: [origin('alternator')] });
    expect(alternator).toMatchObject({
      noise: 'alternator',
      id: 'grounding-alternator',
      tapIds: ['front left'],
    });
    expect(alternator.reasons[1]).toEqual({
      code: 'lines move with the engine',
      places: [{ engine: 'idle', hz: 400 }],
    });
    const [sound] = heard({ origins: [origin('engine sound', { moves: null, atVolumeZero: true })] });
    expect(sound.noise).toBe('engine-related tones');
    expect(sound.reasons.map(codeOf)).toEqual([
      'low tones with the engine',
      'lines come with the engine',
      'lines at volume zero',
    ]);
    expect(sound.advice.map(codeOf)).toEqual(['record at two engine speeds', 'settle noise cancelling']);
    // Two speeds were recorded already.
    expect(heard({ origins: [origin('engine sound')] })[0].advice.map(codeOf)).toEqual([
      'settle noise cancelling',
    ]);
    expect(kinds({ origins: [origin('mains'), origin('steady')] })).toEqual([
      'mains hum',
      'lines of unknown origin',
    ]);
    expect(heard({ origins: [origin('mains')] })[0].reasons).toHaveLength(1);
  });

  it('is judged under music where the radio mutes.', () => {
    expect(heard({ mutesInSilence: true })[0].advice.map(codeOf)).toContain('judge noise under music');
    expect(heard({})[0].advice.map(codeOf)).not.toContain('judge noise under music');
  });
});

describe('a pad', () => {
  // Ohm's law: R2 beside the load over R1 and both.
  it('loads the radio with 470 to 4700 ohm, feeds the input from a tenth of it at most, and loses no more than it must.', () => {
    const pad = padFor({ inputVolts: 10, outputVolts: 5, loadOhms: 10_000 })!;
    const beside = 1 / (1 / pad.shuntOhms + 1 / 10_000);
    expect(pad.outputVoltsRms).toBeCloseTo((10 * beside) / (pad.seriesOhms + 0.1 + beside), 6);
    expect(pad.outputVoltsRms).toBeLessThanOrEqual(5);
    expect(pad.outputVoltsRms).toBeGreaterThan(4.9);
    expect(pad.loadOnRadioOhms).toBeGreaterThanOrEqual(470);
    expect(pad.loadOnRadioOhms).toBeLessThanOrEqual(4700);
    expect(1 / (1 / pad.shuntOhms + 1 / (pad.seriesOhms + 0.1))).toBeLessThanOrEqual(1000);
    expect(pad.seriesWatts).toBeCloseTo((10 - pad.outputVoltsRms) ** 2 / pad.seriesOhms, 3);
    expect(pad.shuntWatts).toBeCloseTo(pad.outputVoltsRms ** 2 / pad.shuntOhms, 6);
    expect(padFor({ inputVolts: 10, outputVolts: 5, loadOhms: 50 })).toBeNull();
  });

  it('is bought for twice what it dissipates.', () => {
    expect([0.12, 0.13, 0.25, 0.26, 4.9, 5.1].map(ratingFor)).toEqual([0.25, 0.5, 0.5, 1, 10, 11]);
  });
});

describe('what cannot be done', () => {
  const plan = (of: {
    restoration?: object;
    feeds?: object[];
    shortfalls?: object[];
    noGains?: [string, object[]][];
    because?: object[];
    law?: boolean;
  }) =>
    cannotBeDone(
      contextOf({
        without: ['volume-law'],
        findings:
          of.law === undefined
            ? []
            : [
                finding({
                  kind: 'volume-law',
                  tapIds: ['front left'],
                  levels: [],
                  dbPerStep: null,
                  followsVolume: of.law,
                }),
              ],
      }),
      {
        feeds: (of.feeds ?? []) as never,
        clean: {} as HighestClean,
        restoration: (of.restoration ?? null) as Restoration | null,
        order: {
          given: of.shortfalls === undefined ? null : { name: 'part', shortfalls: of.shortfalls },
          converterClass: 'summing',
          restsOn: [],
        } as unknown as Order,
        chain: {
          feeds: (of.noGains ?? []).map(([output, noGains]) => ({ output, noGains })),
          because: of.because ?? [],
        } as unknown as Chain,
      },
    ).map(({ wanted, bindingLimit, nearest, otherClass }) =>
      [wanted, bindingLimit, nearest, otherClass].map((one) => (one === null ? null : codeOf(one))),
    );

  it('is nothing where nothing binds.', () => {
    expect(plan({})).toEqual([]);
    expect(plan({ restoration: { limitedBy: 'nothing' } })).toEqual([]);
    expect(plan({ law: true })).toEqual([]);
  });

  it('is bass that no boost brings back, with what stays missing.', () => {
    const restoration = (limitedBy: string, part: object = {}) => ({
      limitedBy,
      amountDb: 6,
      toSetting: 30,
      restsOn: [],
      settings: [{ residualDb: [-2, 0] }],
      ...part,
    });
    const wanted = 'bass restored in full';
    const binding = 'restoration is limited by';
    expect(plan({ restoration: restoration('the converter') })).toEqual([
      [wanted, binding, 'bass that stays missing', 'a part that restores more'],
    ]);
    expect(
      plan({ restoration: restoration('the converter', { settings: [{ residualDb: [0, 1] }] }) })[0][2],
    ).toBe('nearest restoration');
    expect(plan({ restoration: restoration('12 dB') })[0][3]).toBeNull();
    expect(plan({ restoration: restoration('12 dB', { holdsUpToSetting: 24 }) })).toEqual([]);
    expect(plan({ restoration: restoration('the converter', { holdsUpToSetting: 24 }) })).toHaveLength(1);
  });

  it('is a sum that dips by 6 dB, a part that falls short, an output without a volume.', () => {
    const feed = (worstDipDb: number) => ({
      side: 'left',
      output: 'front',
      restsOn: [],
      programmes: { left: { worstDipDb, worstDipHz: 2000 } },
    });
    expect(plan({ feeds: [feed(-6)] })).toEqual([
      [
        'an even feed for',
        'taps work against each other',
        'the feed as listed',
        'a digital processor with delay',
      ],
    ]);
    expect(plan({ feeds: [feed(-5.9)] })).toEqual([]);
    expect(plan({ shortfalls: [{ code: 'cannot add' }] })).toEqual([
      ['the plan with', 'cannot add', 'listed with each setting', 'a converter of the class'],
    ]);
    expect(plan({ law: false })).toEqual([
      ['volume control on', 'a level of its own', 'a level control of its own', null],
    ]);
  });

  it('is gains that must not be set, once for each reason, and limits of the chain.', () => {
    const why = { code: 'load below the lowest' };
    expect(
      plan({
        noGains: [
          ['front', [why]],
          ['rear', [why]],
          ['subwoofer', []],
        ],
      }),
    ).toEqual([['gains for', 'load below the lowest', 'no gains until then', null]]);
    expect(plan({ because: [{ code: 'amplifier not filled' }, { code: 'volume ends early' }] })).toEqual([
      ['the amplifier’s full power', 'amplifier not filled', 'what the sheets list', null],
    ]);
    expect(plan({ because: [{ code: 'bass held by the limiter' }] })[0][0]).toBe(
      'full bass at high settings',
    );
    expect(plan({ because: [{ code: 'no bass at any output' }] })[0][0]).toBe('the plan in full');
  });
});
