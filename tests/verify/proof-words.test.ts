import { describe, expect, it } from 'vitest';
import { reasonText } from '../../src/words/reason-text.ts';

describe('which way a proof tells to turn', () => {
  it('a feed that arrives behind the left one is later, one before it is earlier.', () => {
    const arrival = (microseconds: number) =>
      reasonText({ code: 'right arrival against left', microseconds, output: null });
    expect(arrival(120)).toBe('right later than left by 120 µs');
    expect(arrival(-120)).toBe('right earlier than left by 120 µs');
  });

  it('restoration that gives too much goes down, too little up.', () => {
    const restoration = (db: number) => reasonText({ code: 'restoration gives', db, ofDb: 6, fault: 'turn' });
    expect(restoration(8)).toContain('down by 2.0 dB');
    expect(restoration(4)).toContain('up by 2.0 dB');
  });
});
