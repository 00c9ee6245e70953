import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { curveTables } from '../../src/curves/curve-tables.ts';
import { equipmentSchema } from '../../src/model/equipment.ts';
import { findingsOf } from '../../src/model/finding.ts';
import { codeOf } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { readResultsText, resultsText } from '../../src/model/results-file.ts';
import { planAgain } from '../../src/recommend/plan-again.ts';
import { someOf } from '../some-of.ts';
import { thrown } from '../thrown.ts';
import { bits, clipped, eachSample, gain, gated, inTurn, type Spoiling } from './lies.ts';
import { analysedSpoilt, ONE_TAKE } from './spoilt.ts';

const hash = { sha256Hex: (text: string) => createHash('sha256').update(text).digest('hex') };

const onSecond =
  (change: (value: number) => number): Spoiling =>
  ({ channels: [, second] }) => {
    for (let n = 0; n < second.length; n++) second[n] = change(second[n]);
  };
const zeroBetween =
  (fromSeconds: number, toSeconds: number): Spoiling =>
  (recording) =>
    eachSample((value, seconds) => (seconds > fromSeconds && seconds < toSeconds ? 0 : value))(recording);
/** A gate that shuts as soon as twenty samples in a row are quiet. */
const gatedInPauses: Spoiling = ({ channels }) => {
  for (const channel of channels)
    for (let n = 0, quiet = 0; n < channel.length; n++) {
      quiet = Math.abs(channel[n]) < 0.003 ? quiet + 1 : 0;
      if (quiet > 20) channel[n] = 0;
    }
};

/** Results as they are written and read by every command that follows. */
function handedOn(spoil: Spoiling): Results {
  const text = resultsText(analysedSpoilt({ scenario: ONE_TAKE, spoil }), hash);
  const read = readResultsText({ text, where: 'results.json' }, hash);
  for (const { pieces } of curveTables(read))
    for (const piece of pieces) expect(piece).not.toMatch(/NaN|Infinity/);
  resultsText(planAgain(read, equipmentSchema.parse({})).results, hash);
  return read;
}

const doubted = ({ doubts = [] }: Results) =>
  doubts.map(({ kind, reason, tapIds }) => `${kind} ${codeOf(reason)}: ${tapIds.join(' ')}`);

describe('What is silent to the last bit is told so, nothing is claimed of it, and every command reads the results.', () => {
  it.each<[string, Spoiling]>([
    ['8 bits', bits(8)],
    ['7 bits', bits(7)],
    ['quiet samples gated', gated(0.003)],
    ['pauses gated', gatedInPauses],
    [
      'an offset with quiet samples gated',
      inTurn(
        gated(0.003),
        eachSample((value) => value + 0.1),
      ),
    ],
  ])('%s', (_, spoil) => {
    const results = handedOn(spoil);
    expect(doubted(results)).toContain('take silent to the last bit: front-left front-right');
    for (const { highestCleanRecorded } of someOf(findingsOf(results.findings, 'clean-settings')))
      expect(highestCleanRecorded).toBe(null);
    for (const { verdict } of someOf(findingsOf(results.findings, 'band')))
      expect(verdict).toBe('cannot be told');
    expect(findingsOf(results.findings, 'noise')).toEqual([]);
    expect(results.checks?.mayCloseDash).toBe(false);
  });

  it.each<[string, Spoiling]>([
    ['zeros', onSecond(() => 0)],
    ['one constant value', onSecond(() => 0.25)],
  ])('One output of nothing but %s.', (_, spoil) => {
    const results = handedOn(spoil);
    expect(doubted(results)).toEqual(['take nothing on this channel: front-right']);
    const second = results.findings.filter(({ tapIds }) => tapIds.includes('front-right'));
    expect(findingsOf(second, 'clipping')).toEqual([]);
    expect(findingsOf(second, 'clean-settings')).toEqual([]);
    expect(findingsOf(second, 'routing')[0].carries).toBe('nothing');
  });

  it.each<[string, Spoiling]>([
    ['below the numbers of 32 bits', eachSample((value) => Math.fround(value * 1e-43))],
    ['far below what converters hold', gain(-300)],
  ])('Samples %s are nothing.', (_, spoil) => {
    expect(doubted(handedOn(spoil))).toEqual(['take nothing on this channel: front-left front-right']);
  });

  it('A recording whose sweeps reach full scale throughout says nothing of the radio.', () => {
    const results = handedOn(inTurn(gain(60), clipped(1)));
    expect(doubted(results)).toEqual(['take full-scale samples in a sweep: front-left front-right']);
    for (const { highestCleanRecorded } of someOf(findingsOf(results.findings, 'clean-settings')))
      expect(highestCleanRecorded).toBe(null);
  });

  it('Silence of the radio itself, at the end of the track, leaves the noise under the quiet tone as it is.', () => {
    const results = handedOn(zeroBetween(41.5, 1e6));
    const noise = (of: Results) => findingsOf(of.findings, 'noise')[0].perSetting[0].underQuietToneDbFs;
    expect(doubted(results)).toEqual([]);
    expect(noise(results)).toBe(noise(handedOn(() => {})));
    expect(findingsOf(results.findings, 'clean-settings')[0].highestCleanRecorded).toBe(20);
  });

  it.each<[string, Spoiling]>([
    ['zeros', eachSample(() => 0)],
    ['one constant value', eachSample(() => 0.25)],
    ['numbers that are none', eachSample(() => Number.NaN)],
  ])('Nothing but %s is refused.', (_, spoil) => {
    expect(thrown(() => handedOn(spoil)).code).toBe('no-track');
  });
});
