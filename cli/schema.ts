import { z } from 'zod';
import { SteptoneError } from '../src/model/errors.ts';
import { wordHint } from '../src/model/nearest-word.ts';
import { resultsFileSchema } from '../src/model/results-file.ts';
import { sessionInputSchema } from '../src/model/session-input.ts';
import { verificationSchema } from '../src/model/verification.ts';
import { scenarioFileSchema } from '../src/simulate/scenario.ts';
import type { Outcome } from './outcome.ts';

const SCHEMAS = {
  session: { schema: sessionInputSchema, io: 'input', title: 'Steptone session file' },
  results: { schema: resultsFileSchema, io: 'output', title: 'Steptone results' },
  scenario: { schema: scenarioFileSchema, io: 'input', title: 'Steptone scenario' },
  verification: { schema: verificationSchema, io: 'output', title: 'Steptone verification' },
} as const;

/** JSON Schema (2020-12) of what people write, session or scenario, or of what `analyse` and `verify` write. */
export function schemaCommand(which: string): Outcome {
  if (!isKnown(which)) {
    const words = Object.keys(SCHEMAS);
    throw new SteptoneError({
      code: 'usage',
      expected: `one of ${words.join(', ')}`,
      found: `'${which}'`,
      where: 'steptone schema',
      nextStep: wordHint({ written: which, words }),
    });
  }
  const { schema, io, title } = SCHEMAS[which];
  const data = {
    title,
    // Reasons stand in hundreds of places of what the tool writes; what people write reads better in place.
    ...z.toJSONSchema(schema, {
      io,
      // Settings may be written as text: the schema says how, not into what it is read.
      unrepresentable: 'any',
      reused: io === 'input' ? 'inline' : 'ref',
      override: ({ jsonSchema }) => dropReadOnly(jsonSchema),
    }),
  };
  return { text: JSON.stringify(data, null, 2), data };
}

function isKnown(which: string): which is keyof typeof SCHEMAS {
  return Object.hasOwn(SCHEMAS, which);
}

/** Means "nobody may write this field" in JSON Schema, not "the program leaves it alone". */
function dropReadOnly(jsonSchema: { readOnly?: boolean }): void {
  delete jsonSchema.readOnly;
}
