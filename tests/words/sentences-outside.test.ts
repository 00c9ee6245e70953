import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BINDING_LIMITS } from '../../src/model/chain.ts';
import { reasonCodes } from '../../src/model/reason.ts';
import { stringLiterals } from './string-literals.ts';

/** Where words are written for people: reasons and lines, the pages, and the sheet for the bench. */
const ROOMS = ['words/', 'report/', 'proof/', 'tones/bench-sheet/'];

/** Files whose sentences are parts of a `SteptoneError` alone, put together in another call than its own. */
const PARTS_OF_ERRORS = [
  'audio/file-kind.ts',
  'audio/wav-format.ts',
  'commands/confirm-radio.ts',
  'commands/gains-by-meter.ts',
  'commands/read-equipment.ts',
  'model/checked-document.ts',
  'model/field-fault.ts',
  'model/nearest-word.ts',
  'model/resolve-channels.ts',
  'model/results-fault.ts',
  'model/results-file.ts',
  'model/session-file.ts',
  'simulate/read-scenario.ts',
  'simulate/simulated-tap.ts',
  'takes/why-no-track.ts',
];

/** Names of examples: of radios to simulate, of classes of parts. */
const NAMES = ['simulate/examples.ts', 'simulate/unusual-radio.ts', 'recommend/install/example-classes.ts'];

const LEAST_WORDS = 4;

const source = join(import.meta.dirname, '../../src');
const files = readdirSync(source, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => ({ name, literals: stringLiterals(readFileSync(join(source, name), 'utf8')) }));

describe('sentences', () => {
  it('stand in the rooms of words, in descriptions and in errors; elsewhere there are codes.', () => {
    const codes = new Set<string>([...reasonCodes, ...BINDING_LIMITS, ...codesOfModel()]);
    const outside = files
      .filter(({ name }) => !ROOMS.some((room) => name.startsWith(room)))
      .filter(({ name }) => !PARTS_OF_ERRORS.includes(name) && !NAMES.includes(name))
      .flatMap(({ name, literals }) =>
        literals
          .filter(({ text, within }) => !codes.has(text) && !within.some(isForDescriptionOrError))
          .filter(({ text }) => wordsOf(text) >= LEAST_WORDS)
          .map(({ text, line }) => `${name}:${line} ${text}`),
      );
    expect(outside).toEqual([]);
  });
});

/** Every value that data can take is listed in a schema of the model. */
function codesOfModel(): string[] {
  return files
    .filter(({ name }) => name.startsWith('model/'))
    .flatMap(({ literals }) =>
      literals
        .filter(({ within }) => ['z.enum', 'z.literal'].includes(within.at(-1) ?? ''))
        .map(({ text }) => text),
    );
}

function isForDescriptionOrError(call: string): boolean {
  return /\.describe$|\.meta$|Error$|^fail$|refine$/.test(call);
}

function wordsOf(text: string): number {
  return text.split(/\s+/).filter((word) => /^[\p{L}’'(]+[\p{L}’'),.:;]*$/u.test(word)).length;
}
