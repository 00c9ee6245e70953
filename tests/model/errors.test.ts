import { expect, test } from 'vitest';
import { SteptoneError } from '../../src/model/errors.ts';

test('an error that quotes another as what was found ends its sentence once', () => {
  const inner = new SteptoneError({
    code: 'no-track',
    expected: 'the test track',
    found: 'no whole one',
    where: 'a.wav',
    nextStep: 'play the track to its end',
  });
  const outer = new SteptoneError({
    code: 'no-recordings',
    expected: 'a recording',
    found: `1 that cannot be used; the first: ${inner.message}`,
    where: 'a.wav, b.wav',
    nextStep: 'record again',
  });
  expect(outer.message).toBe(
    'a.wav, b.wav: expected a recording, found 1 that cannot be used; the first: a.wav: expected the test track, found no whole one. Next: play the track to its end. Next: record again.',
  );
});
