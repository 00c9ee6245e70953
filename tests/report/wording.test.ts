import { describe, expect, it } from 'vitest';
import { type Finding, findingSchema } from '../../src/model/finding.ts';
import { notMeasurable } from '../../src/model/measured.ts';
import { asWritten } from '../../src/model/reason.ts';
import { type Recommendation, recommendationSchema } from '../../src/model/recommendation.ts';
import { plainText } from '../../src/report/sentence.ts';
import { recommendationWords } from '../../src/report/wording/recommendation-words.ts';
import { orderLine } from '../../src/report/wording/verdict/order-line.ts';
import { findingWords } from '../../src/report/wording.ts';
import { findingsOfEveryKind, variantsOf } from './every-finding.ts';
import { recommendationsOfEveryKind } from './every-recommendation.ts';
import { exampleResults } from './example-results.ts';

const label = (tapId: string) => `tap ${tapId}`;
const BROKEN = /undefined|NaN|null|Infinity|\[object|\s\s|\.\.|, ,/;

describe('what was not seen', () => {
  it('names no first tap to clip and no missing setting where none clipped', () => {
    const clean = recommendationsOfEveryKind.find((item) => item.kind === 'highest-clean-setting');
    const words = recommendationWords(
      { ...clean, firstClippingRecorded: null, computed: null } as Recommendation,
      label,
    );
    expect(plainText(words.statements[0].sentence)).toBe('Clean up to setting 30; nothing recorded clips.');
  });

  it('names the settings above the highest clean one that noise hides', () => {
    const clean = recommendationsOfEveryKind.find((item) => item.kind === 'highest-clean-setting');
    const first = (parts: object) =>
      plainText(recommendationWords({ ...clean, ...parts } as Recommendation, label).statements[0].sentence);
    expect(first({ notKnown: { settings: [34, 38], because: 'noise' }, firstClippingRecorded: null })).toBe(
      'Clean up to setting 30; settings 34 and 38 not known.',
    );
    expect(first({ notKnown: { settings: [34], because: 'noise' }, firstClippingRecorded: 38 })).toContain(
      'setting 30; setting 34 not known, setting 38 clips.',
    );
    expect(first({ firstClippingRecorded: null, notJudged: ['a', 'b'] })).toBe(
      'Clean up to setting 30; nothing recorded clips. No take says whether tap a and tap b clip.',
    );
  });

  it('is said of one tone only, and with true minus signs', () => {
    const clipping = findingsOfEveryKind.find((one) => one.kind === 'clipping');
    const text = textOf({
      ...clipping,
      toneHz: 6007,
      place: 'none seen',
      highestHarmonic: 3,
      perSetting: [
        {
          setting: 10,
          driveDbFs: notMeasurable(asWritten('none seen up to -3.0 dBFS of drive')),
          voltsRms: notMeasurable(asWritten('no')),
        },
      ],
    } as Finding);
    expect(text).toContain(
      'At 6.01 kHz nothing clips at any recorded setting. Harmonics 2 to 3 were counted.',
    );
    expect(text).toContain('none seen up to \u22123.0 dBFS');
  });
});

describe('the words of findings', () => {
  it('has an example of every kind that the model knows', () => {
    const kinds = findingSchema.options.map((option) => option.shape.kind.value);
    expect([...new Set(findingsOfEveryKind.map(({ kind }) => kind))].sort()).toEqual([...kinds].sort());
  });

  it.each(findingsOfEveryKind.map((finding) => [finding.id, finding] as const))(
    'words %s in whole sentences',
    (_, finding) => {
      expect(() => findingSchema.parse(finding)).not.toThrow();
      const { subject, statements } = findingWords(finding, label);
      expect(subject).not.toBe('');
      expect(statements.length).toBeGreaterThan(0);
      for (const { sentence } of statements) {
        expect(plainText(sentence)).toMatch(/^[A-Z\d−].*[.?]$/s);
        expect(plainText(sentence)).not.toMatch(BROKEN);
      }
    },
  );

  it.each(variantsOf.map(({ of, findings }) => [of, findings] as const))(
    'says something else for every %s',
    (_, findings) => {
      const texts = findings.map((finding) => textOf(finding));
      expect(new Set(texts).size).toBe(findings.length);
    },
  );

  it.each(['bass-change', 'bass-limiter', 'band', 'timing', 'volume-law', 'clipping'] as const)(
    'says of every number that a %s finding lacks why',
    (kind) => {
      const finding = withoutNumbers(
        findingsOfEveryKind.find((one) => one.kind === kind && hasNumbers(one)) as Finding,
      );
      expect(textOf(finding)).toMatch(/the dog barked\./i);
    },
  );

  it('says what to record where that would help', () => {
    const band = withoutNumbers(
      findingsOfEveryKind.find((one) => one.kind === 'band' && hasNumbers(one)) as Finding,
    );
    const notKnown = findingWords(band, label).statements.filter(({ known }) => !known);
    expect(notKnown.map(({ sentence }) => plainText(sentence))).toContain(
      'Not known: the −3 dB point of the low edge. The dog barked. To find out, record it again.',
    );
  });

  it('marks what cannot be told as such', () => {
    const unclear = findingsOfEveryKind.filter(
      (finding) => 'verdict' in finding && finding.verdict === 'cannot be told',
    );
    expect(unclear.length).toBeGreaterThan(1);
    for (const finding of unclear) {
      const [{ sentence, known }] = findingWords(finding, label).statements;
      expect(known).toBe(false);
      expect(plainText(sentence)).toMatch(/^Not known: /);
    }
  });
});

describe('the words of recommendations', () => {
  it('has an example of every kind that the model knows', () => {
    const kinds = recommendationSchema.options.map((option) => option.shape.kind.value);
    expect([...new Set(recommendationsOfEveryKind.map(({ kind }) => kind))].sort()).toEqual(
      [...kinds].sort(),
    );
  });

  it.each(recommendationsOfEveryKind.map((item) => [item.id, item] as const))(
    'words %s in whole sentences',
    (_, item) => {
      expect(() => recommendationSchema.parse(item)).not.toThrow();
      const { title, statements, step } = recommendationWords(item, label);
      const cells = step === null ? [] : [step.setTo, step.check];
      expect(title).not.toMatch(BROKEN);
      expect(statements.length).toBeGreaterThan(0);
      for (const sentence of [...statements.map((statement) => statement.sentence), ...cells]) {
        expect(plainText(sentence)).not.toMatch(BROKEN);
        expect(plainText(sentence)).toMatch(/[.?]$/);
      }
    },
  );

  it('orders nothing before it is known what the part has to restore, on sheet and first screen alike', () => {
    const order = recommendationsOfEveryKind.find((item) => item.kind === 'order')!;
    const open = { ...order, reasons: [{ code: 'loss not known yet' as const }] };
    const said = (item: Recommendation) => plainText(recommendationWords(item, label).statements[0].sentence);
    const line = (item: Recommendation) =>
      plainText(orderLine({ ...exampleResults(), recommendations: [item] })[0].sentence);
    expect(said(order)).toMatch(/^Order a converter/);
    expect(line(order)).toMatch(/^Converter with/);
    expect(said(open)).toMatch(/^Order no converter yet/);
    expect(line(open)).toMatch(/^Nothing before the bass is known/);
  });

  it('leaves no step looking settled whose reading is not known', () => {
    const gain = recommendationsOfEveryKind.find((item) => item.kind === 'converter-level') as Extract<
      Recommendation,
      { kind: 'converter-level' }
    >;
    const unknown = {
      ...gain,
      targets: gain.targets.map((target) => ({
        ...target,
        voltsRms: notMeasurable(asWritten('the recorder was not calibrated')),
      })),
    };
    const { step } = recommendationWords(unknown, label);
    expect(step?.known).toBe(false);
    expect(plainText(step?.setTo ?? [])).toBe('To be measured: the recorder was not calibrated.');
  });
});

function textOf(finding: Finding): string {
  return findingWords(finding, label)
    .statements.map(({ sentence }) => plainText(sentence))
    .join(' ');
}

function hasNumbers(finding: Finding): boolean {
  return JSON.stringify(finding).includes('plusMinus');
}

/** Every measured number replaced by a reason. */
function withoutNumbers(finding: Finding): Finding {
  const text = JSON.stringify(finding, (_, value) =>
    value !== null && typeof value === 'object' && 'plusMinus' in value
      ? notMeasurable(asWritten('the dog barked'), asWritten('it again'))
      : value,
  );
  return JSON.parse(text) as Finding;
}
