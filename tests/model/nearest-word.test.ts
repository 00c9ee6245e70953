import { describe, expect, it } from 'vitest';
import { nearestWord } from '../../src/model/nearest-word.ts';

const words = ['settings', 'taps', 'channels', 'recordings', 'calibration', 'referenceTapId', 'none'];

describe('the word that was probably meant', () => {
  it.each([
    ['setings', 'settings'],
    ['Settings', 'settings'],
    ['setitngs', 'settings'],
    ['reference', 'referenceTapId'],
    ['calib', 'calibration'],
    ['chanels', 'channels'],
    ['non', 'none'],
    ['recording', 'recordings'],
  ])('%s was meant to be %s', (written, meant) => {
    expect(nearestWord({ written, words })).toBe(meant);
  });

  it.each(['volume', 'x', '', 'zzzzzzzz'])("'%s' is near none of them", (written) => {
    expect(nearestWord({ written, words })).toBeUndefined();
  });

  it('Two letters swapped are one slip (Damerau 1964), so that tpas is taps and not something else.', () => {
    expect(nearestWord({ written: 'tpas', words: ['tips', 'taps'] })).toBe('taps');
  });
});
