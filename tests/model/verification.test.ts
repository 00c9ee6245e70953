import { describe, expect, it } from 'vitest';
import { proofSchema } from '../../src/model/verification.ts';
import { reasonText } from '../../src/words/reason-text.ts';

const proof = {
  what: 'level',
  verdict: 'fail',
  setting: null,
  expected: 0,
  found: 3,
  unit: 'dB',
  tolerance: 1,
  knob: 'amplifier gain',
};

describe('what a verification file says of a proof', () => {
  it('is a code with its figures, and is worded with the way to turn.', () => {
    const text = { code: 'level off the target', db: 3, knob: 'amplifier gain', tooHighDb: 3, until: null };
    const said = reasonText(proofSchema.parse({ ...proof, text }).text);
    expect(said).toContain('+3.0 dB');
    expect(said).toContain('down by 3.0 dB');
    const tooLow = reasonText(proofSchema.parse({ ...proof, text: { ...text, db: -2, tooHighDb: -2 } }).text);
    expect(tooLow).toContain('−2.0 dB');
    expect(tooLow).toContain('up by 2.0 dB');
  });

  it('is a sentence in older files, and is said as it stands.', () => {
    const text = '+3.0 dB against the target volts: amplifier gain, turn it down by 3.0 dB';
    expect(reasonText(proofSchema.parse({ ...proof, text }).text)).toBe(text);
  });
});
