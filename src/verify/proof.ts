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

export function proof(
  of: Partial<Omit<Proof, 'what' | 'verdict' | 'text'>> & Pick<Proof, 'what' | 'verdict' | 'text'>,
): Proof {
  return { ...NOTHING, ...of };
}
