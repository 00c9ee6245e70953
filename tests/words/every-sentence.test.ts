import { describe, expect, it } from 'vitest';
import { everyReason, everySentence, type Said } from './every-sentence.ts';
import { lix, longestSentence, median, wordsOf } from './readability.ts';

const sentences = everySentence();
const reasons = everyReason();
const all = [...sentences, ...reasons];

/** Texts that break a rule, each with what made it. */
function breaking(list: readonly Said[], rule: (text: string) => boolean): string[] {
  return [...new Set(list.filter(({ text }) => rule(text)).map(({ by, text }) => `${by}: ${text}`))];
}

describe('every sentence that the words make', () => {
  it('is there: some 900 of them, and every code of a reason.', () => {
    expect(sentences.length).toBeGreaterThan(800);
    expect(reasons.length).toBeGreaterThan(200);
  });

  it('has no broken and no empty part.', () => {
    const broken =
      /undefined|NaN|null|Infinity|\[object|\s\s|\.\.|, ,|\(\)|\(\s|\s\)|\s[.,;:]|[,;:]\.|^\W*$|\b(\w{3,}) \1\b|''|""/;
    expect(breaking(all, (text) => broken.test(text))).toEqual([]);
  });

  it('names nothing by the name that it has inside the program.', () => {
    const inside =
      /[a-z][A-Z][a-z]|\b\w+_\w+\b|\b(bass-change|volume-law|record-next|cannot-be-done|converter-level|amplifier-gain|gain-structure|bass-reach|subwoofer-law|radio-sounds)\b|\bfeed[:-](front|rear|sub)/;
    expect(
      breaking(all, (text) => inside.test(text.replace(/\b(dB|dBFS|dBu|kHz|kΩ|mV|µV|AWG)\w*/g, ''))),
    ).toEqual([]);
  });

  it('begins with a capital, a figure or a sign, and ends; a reason is a clause without a full stop.', () => {
    expect(breaking(sentences, (text) => !/^[A-Z\d−].*[.?]$/s.test(text))).toEqual([]);
    expect(breaking(reasons, (text) => /\.$/.test(text))).toEqual([]);
  });

  it('gives every decimal a unit behind it.', () => {
    const units =
      /^\s?(±|dB|dBFS|dBu|V|mV|µV|W|A|Hz|kHz|ms|µs|s\b|Ω|kΩ|ohm|µF|microfarad|mm²|cm|m\b|%|ppm|times|degrees|to |and |\(Butterworth\)|\(Linkwitz)/;
    const bare = (text: string) =>
      [...text.matchAll(/\d+\.\d+/g)].some(({ 0: figure, index }) => {
        const before = text.slice(0, index);
        return (
          !/\bQ $|ratio $|settings? (\S+ (and|to) )?$/.test(before) &&
          !units.test(text.slice(index + figure.length))
        );
      });
    expect(breaking(all, bare)).toEqual([]);
  });

  it('has singular and plural right where it counts.', () => {
    const wrong =
      /\b1 (settings|takes|inputs|outputs|amplifiers|watts|times|channels)\b|\bsettings \d+(\.\d+)?(?![\d.]|,| and| to)|\bsetting \d+ and \d+\b/;
    // These two are about two settings always.
    const pairs = new Set(['settings exchanged', 'two settings of one level']);
    expect(
      breaking(
        all.filter(({ by }) => !pairs.has(by)),
        (text) => wrong.test(text),
      ),
    ).toEqual([]);
  });

  it('says no word that the glossary replaces.', () => {
    expect(
      breaking(all, (text) => /\b(bass goes|programme|knob belongs|plateau|wizard|preset)\b/.test(text)),
    ).toEqual([]);
  });
});

/**
 * Measured before the words were rewritten: LIX median 24, worst 60; a sentence of 15 words in the median, 39 at worst.
 * LIX of fewer than eight words says nothing.
 */
describe('how it reads', () => {
  const longEnough = all.filter(({ text }) => wordsOf(text).length >= 8);

  it('reads like a newspaper at worst, like a children’s book in the median (LIX).', () => {
    const scores = longEnough.map(({ text }) => lix(text));
    expect(median(scores)).toBeLessThanOrEqual(24);
    expect(breaking(longEnough, (text) => lix(text) > 55)).toEqual([]);
  });

  it('asks nobody to keep more than 32 words in mind, and mostly not 15.', () => {
    expect(median(all.map(({ text }) => longestSentence(text)))).toBeLessThanOrEqual(14);
    expect(breaking(all, (text) => longestSentence(text) > 32)).toEqual([]);
  });
});
