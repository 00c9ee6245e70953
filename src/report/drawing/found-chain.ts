import { type FindingOf, findingsOf } from '../../model/finding.ts';
import type { Results } from '../../model/results.ts';
import type { TapLabel } from '../wording/statement.ts';
import { factorySpeakerText, foundTexts } from './drawing-words.ts';
import { type DrawnChain, drawnChain } from './drawn-chain.ts';

/** The radio as it came: each output with what was found of it, and the speaker that hangs on it. */
export function foundChain(results: Results, label: TapLabel): DrawnChain | null {
  const drawn = drawnChain(results, label);
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
      sides: [{ name: '', summed: false, taps: [{ id, swapped: false, trim: '' }] }],
      stages: [
        {
          kind: 'speakers',
          lines: [factorySpeakerText(results.session.taps.find((tap) => tap.id === id))],
          volts: null,
          clipsFirst: false,
        },
      ],
      remarks: [],
    })),
  };
}

/** What of an output's findings is worth a place in its box. */
export interface FoundOfOutput {
  readonly bass: FindingOf<'bass-change'> | undefined;
  readonly limiter: FindingOf<'bass-limiter'> | undefined;
  readonly timing: FindingOf<'timing'> | undefined;
  readonly law: FindingOf<'volume-law'> | undefined;
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
