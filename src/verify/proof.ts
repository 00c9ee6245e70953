import type { Proof } from '../model/verification.ts';

/** What most proofs leave open. */
const NOTHING: Omit<Proof, 'what' | 'verdict' | 'text'> = {
  setting: null,
  expected: null,
  found: null,
  unit: 'none',
  tolerance: null,
  knob: null,
};

export function proof(of: Partial<Proof> & Pick<Proof, 'what' | 'verdict' | 'text'>): Proof {
  return { ...NOTHING, ...of };
}

/** With its sign: +3.0 dB; nothing has none. */
export function signedDb(db: number): string {
  const size = Math.abs(db).toFixed(1);
  const sign = db < 0 ? '−' : '+';
  return `${size === '0.0' ? '' : sign}${size} dB`;
}

/** "turn it down by 3.0 dB". */
export function turnBy(tooHighDb: number): string {
  return `turn it ${tooHighDb > 0 ? 'down' : 'up'} by ${Math.abs(tooHighDb).toFixed(1)} dB`;
}
