import { expect, it } from 'vitest';
import { fitsPattern } from '../../src/model/fits-pattern.ts';

it.each([
  ['setting-*.wav', 'setting-10.wav', true],
  ['setting-*.wav', 'Setting-10.WAV', true],
  ['setting-*.wav', 'setting-.wav', true],
  ['setting-?.wav', 'setting-10.wav', false],
  ['setting-??.wav', 'setting-10.wav', true],
  ['*-10*.wav', 'pair-a-10-10-second.wav', true],
  ['*10.wav', '10-10.wav', true],
  ['*.wav', 'sub/a.wav', false],
  ['*/*.wav', 'sub/a.wav', true],
  ['a**b', 'ab', true],
  ['a.wav', 'aXwav', false],
  ['(a)+[b].wav', '(a)+[b].wav', true],
  ['', 'a', false],
])('%s and %s: %s', (pattern, file, answer) => {
  expect(fitsPattern(pattern, file)).toBe(answer);
});

it('takes no time to speak of for a pattern of many stars', () => {
  const started = performance.now();
  expect(fitsPattern(`${'*a'.repeat(3000)}.wav`, `${'a'.repeat(250)}.wav`)).toBe(false);
  expect(fitsPattern(`${'*a'.repeat(100)}b`, 'a'.repeat(250))).toBe(false);
  expect(performance.now() - started).toBeLessThan(500);
});
