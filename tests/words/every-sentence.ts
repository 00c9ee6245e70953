import { z } from 'zod';
import type { Finding } from '../../src/model/finding.ts';
import { notMeasurable } from '../../src/model/measured.ts';
import { asWritten, type Reason, reasonSchema } from '../../src/model/reason.ts';
import type { Results } from '../../src/model/results.ts';
import { CAUTIONS } from '../../src/report/cautions.ts';
import { chartGroups } from '../../src/report/charts.ts';
import { METHODS } from '../../src/report/methods.ts';
import { plainText } from '../../src/report/sentence.ts';
import { wrongReading } from '../../src/report/sheets/wrong-reading.ts';
import { verdicts } from '../../src/report/verdicts.ts';
import { comebacks } from '../../src/report/wording/comeback-words.ts';
import {
  fuseAndWire,
  howLoud,
  ifSomethingChanges,
  undoSteps,
  whatBass,
  whatStays,
  whatWeDid,
} from '../../src/report/wording/customer-words.ts';
import { outcomes } from '../../src/report/wording/estimate-words.ts';
import { recommendationWords } from '../../src/report/wording/recommendation-words.ts';
import { verdictLines } from '../../src/report/wording/verdict/verdict-lines.ts';
import { verdictTitle } from '../../src/report/wording/verdict/verdict-title.ts';
import { findingWords } from '../../src/report/wording.ts';
import { reasonText } from '../../src/words/reason-text.ts';
import { findingsOfEveryKind } from '../report/every-finding.ts';
import { recommendationsOfEveryKind } from '../report/every-recommendation.ts';
import { exampleNotKnown, exampleResults } from '../report/example-results.ts';

/** A sentence that a user can meet, and what makes it. */
export interface Said {
  readonly by: string;
  readonly text: string;
}

const label = (tapId: string) => `tap ${tapId}`;

/** Every sentence that the words make of the examples: findings and advice of each kind, with and without their numbers. */
export function everySentence(): Said[] {
  const findings = findingsOfEveryKind.flatMap((finding) =>
    MAY_LACK_NUMBERS.has(finding.kind) ? [finding, withoutNumbers(finding)] : [finding],
  );
  return [
    ...findings.flatMap((finding) =>
      findingWords(finding, label).statements.map(({ sentence }) => said(finding.kind, plainText(sentence))),
    ),
    ...recommendationsOfEveryKind.flatMap((item) => {
      const { statements, step } = recommendationWords(item, label);
      const sentences = [
        ...statements.map(({ sentence }) => sentence),
        ...(step === null ? [] : [step.setTo, step.check]),
      ];
      return [
        ...sentences.map((sentence) => said(item.kind, plainText(sentence))),
        said(item.kind, wrongReading(item)),
      ];
    }),
    ...[exampleResults(), exampleNotKnown()].flatMap(ofResults),
    ...CAUTIONS.flatMap(({ items }) => items.map((item) => said('cautions', item))),
    ...METHODS.map(({ text }) => said('methods', text)),
    ...undoSteps(true).map((text) => said('hand-over', text)),
  ].filter(({ text }) => text !== '');
}

const MAY_LACK_NUMBERS = new Set([
  'bass-change',
  'bass-limiter',
  'timing',
  'volume-law',
  'clipping',
  'clean-settings',
]);

function ofResults(results: Results): Said[] {
  return [
    said('verdict', plainText(verdictTitle(results, label)?.because ?? [])),
    ...verdictLines(results, label).map(({ sentence }) => said('verdict', plainText(sentence))),
    ...verdicts(results).flatMap(({ answers }) =>
      answers.map(({ sentence }) => said('answers', plainText(sentence))),
    ),
    ...comebacks(results).flatMap(({ first, second, look }) =>
      [plainText(first), plainText(second), look].map((text) => said('comeback', text)),
    ),
    ...outcomes(results).flatMap(({ says, needs }) => [said('estimate', says), said('estimate', needs)]),
    ...[
      whatWeDid(results, label),
      howLoud(results),
      whatBass(results),
      whatStays(results, label),
      fuseAndWire(results),
    ].flatMap((list) => list.map(({ sentence }) => said('hand-over', plainText(sentence)))),
    ...ifSomethingChanges(results).map(([, text]) => said('hand-over', text)),
    ...chartGroups(results).flatMap(({ lead, charts }) => [
      said('pictures', lead),
      ...charts.map(({ caption }) => said('pictures', plainText(caption))),
    ]),
  ];
}

/** Every code with its figures in the turns that they can take: one and several, known and not. */
export function everyReason(): Said[] {
  const coded = (reasonSchema as unknown as z.ZodPipe).out as z.ZodDiscriminatedUnion;
  return coded.options.flatMap((option) =>
    examplesOf(option as z.ZodType).map((example) => {
      const reason = example as Reason;
      return said(reason.code, reasonText(reason as Reason));
    }),
  );
}

/** For each turn of a field the others stay at their first. */
function examplesOf(schema: z.ZodType): unknown[] {
  if (schema instanceof z.ZodObject) {
    const fields = Object.entries(schema.shape as Record<string, z.ZodType>).map(([name, field]) => ({
      name,
      turns: examplesOf(field),
    }));
    const first = Object.fromEntries(fields.map(({ name, turns }) => [name, turns[0]]));
    return [
      first,
      ...fields.flatMap(({ name, turns }) => turns.slice(1).map((turn) => ({ ...first, [name]: turn }))),
    ];
  }
  if (schema instanceof z.ZodNullable || schema instanceof z.ZodOptional)
    return [...examplesOf(schema.unwrap() as z.ZodType), null];
  if (schema instanceof z.ZodReadonly) return examplesOf(schema.unwrap() as z.ZodType);
  if (schema instanceof z.ZodArray) {
    const [one, other = one] = examplesOf(schema.element as z.ZodType);
    return [[one, other], [one]];
  }
  if (schema instanceof z.ZodEnum) return [...schema.options];
  if (schema instanceof z.ZodLiteral) return [...schema.values];
  if (schema instanceof z.ZodTuple) return [schema.def.items.map((item) => examplesOf(item as z.ZodType)[0])];
  if (schema instanceof z.ZodNumber) return [12, 34, 1];
  if (schema instanceof z.ZodBoolean) return [true, false];
  if (schema instanceof z.ZodString) return ['rear left', 'rear right'];
  if (schema instanceof z.ZodUnion)
    return schema.options.flatMap((option) => examplesOf(option as z.ZodType));
  throw new Error(`no example of ${schema.constructor.name}`);
}

function said(by: string, text: string): Said {
  return { by, text: text.trim() };
}

function withoutNumbers(finding: Finding): Finding {
  const text = JSON.stringify(finding, (_, value) =>
    value !== null && typeof value === 'object' && 'plusMinus' in value
      ? notMeasurable(asWritten('the dog barked'), asWritten('it again'))
      : value,
  );
  return JSON.parse(text) as Finding;
}
