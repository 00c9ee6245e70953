import type { Amplifier } from '../../model/equipment.ts';
import type { Reason } from '../../model/reason.ts';

/** Where the filter of an amplifier cannot be set as wanted; null where it can, and where no amplifier is given. */
export function filterShortfall(
  amplifier: Amplifier | undefined,
  type: 'high-pass' | 'low-pass',
  cornerHz: number,
): Reason | null {
  if (amplifier === undefined) return null;
  const { name } = amplifier;
  const ability = type === 'high-pass' ? amplifier.highPass : amplifier.lowPass;
  if (ability === null) return { code: 'part has no such filter', name, type };
  const [fromHz, toHz] = ability.rangeHz;
  return cornerHz < fromHz || cornerHz > toHz ? { code: 'part reaches', name, fromHz, toHz } : null;
}
