import type { NotedWire } from '../../model/bay-notes.ts';
import { escapeHtml } from '../../model/escape-html.ts';
import type { Tap } from '../../model/session.ts';
import type { BenchGroup } from './bench-groups.ts';
import { tableRow } from './table-row.ts';

/** Which taps each group holds, with room for plug, wire colours, pins and the volts of each wire to chassis. */
export function wiresTable(groups: readonly BenchGroup[]): string {
  const head = tableRow('th', [
    'Pair',
    'Which outputs, load, plug, photo number',
    'Left +: colour, pin, DC to chassis',
    'Left −',
    'Right +',
    'Right −',
  ]);
  const rows = groups.flatMap(({ letter, taps }) =>
    twoByTwo(taps).map(([left, right], i) =>
      tableRow('td', [
        taps.length > 2 ? `${letter} ${2 * i + 1}+${2 * i + 2}` : letter,
        [left, right].flatMap((tap) => (tap === undefined ? [] : outputText(tap))).join('<br>'),
        ...[left?.plus, left?.minus, right?.plus, right?.minus].map(wireText),
      ]),
    ),
  );
  return `<table class="wires"><thead>${head}</thead><tbody>${rows.join('')}</tbody></table>`;
}

/** One empty row where there are no taps yet. */
function twoByTwo(taps: readonly Tap[]): [Tap?, Tap?][] {
  return Array.from({ length: Math.max(1, Math.ceil(taps.length / 2)) }, (_, i) => [
    taps[2 * i],
    taps[2 * i + 1],
  ]);
}

function outputText({ label, connector, note }: Tap): string {
  return escapeHtml([label, connector, note].filter((one) => one !== undefined).join('; '));
}

function wireText(wire: NotedWire | undefined): string {
  const known = [wire?.colour, wire?.pin].filter((one) => one !== undefined).join(', ');
  return `<span class="known">${escapeHtml(known)}</span> V`;
}
