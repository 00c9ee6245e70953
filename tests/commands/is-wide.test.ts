import { expect, it } from 'vitest';
import { isWide } from '../../src/commands/is-wide.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import { memorySound } from '../memory-sound.ts';

const recordingOf = (channels: number, sampleRateHz: number) => ({
  open: () =>
    memorySound({ sampleRateHz, channels: Array.from({ length: channels }, () => new Float32Array(1)) }),
});

it('More than 8 channels at 192 kHz, or as many samples a second, are for one thread.', () => {
  expect(isWide('take.wav', recordingOf(8, 192_000))).toBe(false);
  expect(isWide('take.wav', recordingOf(9, 192_000))).toBe(true);
  expect(isWide('take.wav', recordingOf(32, 48_000))).toBe(false);
  expect(isWide('take.wav', recordingOf(33, 48_000))).toBe(true);
});

it('A recording that cannot be opened is told where it is read; a fault of the tool is told at once.', () => {
  const refused = new SteptoneError({
    code: 'not-wav',
    expected: 'a WAV file',
    found: 'text',
    where: 'take.wav',
    likelyCause: 'it is another file',
    nextStep: 'record again',
  });
  const failing = (error: Error) => ({
    open: () => {
      throw error;
    },
  });
  expect(isWide('take.wav', failing(refused))).toBe(false);
  expect(() => isWide('take.wav', failing(new Error('out of memory')))).toThrow('out of memory');
});
