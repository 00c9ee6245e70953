import { findingsOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import type { TapLabel } from '../wording/statement.ts';
import { factorySpeakerText, foundTexts } from './drawing-words.ts';
import type { DrawnChain, FoundOfOutput } from './drawn.ts';
import { drawnChain } from './drawn-chain.ts';

/** The radio as it came: each output with what was found of it, and the speaker that hangs on it. */
export function foundChain(results: Results, label: TapLabel): DrawnChain | null {
  const drawn = drawnChain(results, label, 'planned');
  if (drawn === null) return null;
  return {
    ...drawn,
    outputs: drawn.outputs.map((output) => ({
      ...output,
      lines: [output.lines[0], foundTexts(foundOf(results, output.id)).join('; ')].filter(Boolean),
      inUse: true,
    })),
    feeds: drawn.outputs.map(({ id }) => ({
      name: label(id),
      sides: [{ name: '', summed: false, taps: [{ id, swap: '', trim: '' }] }],
      stages: [
        {
          kind: 'speakers',
          part: id,
          lines: [factorySpeakerText(results.session.taps.find((tap) => tap.id === id))],
          volts: null,
          clipsFirst: false,
        },
      ],
      remarks: [],
    })),
  };
}

function foundOf({ findings }: Results, tapId: string): FoundOfOutput {
  const own = <Found extends { tapIds: readonly string[] }>(list: readonly Found[]) =>
    list.find(({ tapIds }) => tapIds[0] === tapId);
  return {
    bass: own(findingsOf(findings, 'bass-change')),
    limiter: own(findingsOf(findings, 'bass-limiter')),
    timing: own(findingsOf(findings, 'timing')),
    law: own(findingsOf(findings, 'volume-law')),
  };
}
