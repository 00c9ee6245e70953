import { describe, expect, it } from 'vitest';
import { failureOf } from '../../cli/failure.ts';
import { SteptoneError } from '../../src/model/errors.ts';

describe('what is said about an error', () => {
  it('Bad input is one line without a stack trace, and exit status 2.', () => {
    const parts = {
      code: 'not-wav',
      expected: 'a WAV',
      found: 'a\ntext',
      where: 'x\u001b[2J.wav',
      nextStep: 'look',
    } as const;
    const { status, text, data } = failureOf(new SteptoneError(parts));
    expect(status).toBe(2);
    expect(text).toContain('expected a WAV');
    expect([...text].filter((letter) => letter < ' ')).toEqual([]);
    expect(data).toEqual({ error: parts });
  });

  it('Anything else is a fault of the tool: it says so, says what to send, shows the stack, and exit status 1.', () => {
    const { status, text } = failureOf(new TypeError('no such thing'));
    expect(status).toBe(1);
    expect(text).toMatch(/fault of the tool/);
    expect(text).toMatch(/Send/);
    expect(text).toMatch(/TypeError: no such thing\n\s+at /);
    expect(text).toMatch(/steptone \d+\.\d+\.\d+, node v\d+/);
  });

  it('Even something thrown that is no error is told.', () => {
    expect(failureOf('a string')).toMatchObject({ status: 1, data: { error: { message: 'a string' } } });
  });
});
