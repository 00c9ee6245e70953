import { type Html, html } from '../html.ts';
import { boxHeight, drawnBox, fitting, LINE_PX, voltsAt, wrapped } from './drawing-parts.ts';
import { BATTERY, NOT_USED, SUM } from './drawing-words.ts';
import type { DrawnChain, DrawnFeed, DrawnOutput } from './drawn.ts';

const WIDTH = 356;
const INDENT = 14;
const STEP_PX = 20;
const SIGNS = 50;

/** The whole chain from above down, feed by feed, for a phone. */
export function narrowDrawing(
  { outputs, feeds }: DrawnChain,
  { title, foot, battery }: { title: string; foot: readonly string[]; battery: string | null },
): Html {
  let y = 4;
  const shown = feeds.map((feed) => {
    const drawn = drawnFeed(feed, outputs, y);
    y = drawn.bottom + 16;
    return drawn.svg;
  });
  const idle = outputs.filter(({ inUse }) => !inUse).map(({ lines }) => `${lines[0]}: ${NOT_USED}`);
  const power = battery === null ? [] : [`${BATTERY}: ${battery}.`];
  const words = [...idle, ...power, ...foot].flatMap((line) => wrapped(line, SIGNS));
  const texts = words.map(
    (line, i) => html`<text x="0" y="${y + (i + 1) * LINE_PX - 4}" class="foot">${line}</text>`,
  );
  return html`<svg class="chain narrow-chain" viewBox="-2 0 ${WIDTH + 4} ${y + words.length * LINE_PX + 4}" role="img" aria-label="${title}">${shown}${texts}</svg>`;
}

function drawnFeed(
  { sides, stages, remarks }: DrawnFeed,
  outputs: readonly DrawnOutput[],
  top: number,
): { svg: Html; bottom: number } {
  const taken = sides.flatMap(({ taps, summed, name }) =>
    taps.map(({ id, swap, trim }, i) => {
      const output = outputs.find((one) => one.id === id);
      const how = [
        ...(swap === '' ? [] : [swap]),
        ...(trim === '' ? [] : [trim]),
        ...(summed && i > 0 ? [SUM] : []),
      ];
      return {
        output,
        side: name,
        text: `${output?.lines[0] ?? id}${how.length === 0 ? '' : ` (${how.join(', ')})`}`,
        wires: output?.lines.slice(1) ?? [],
      };
    }),
  );
  // None of several outputs is the name of their box.
  const lines = fitting(
    taken.length === 1
      ? [taken[0].text, ...taken[0].wires]
      : ['Outputs', ...taken.flatMap(({ text, wires }) => [text, ...wires])],
    WIDTH,
  );
  let y = top;
  const first = { x: 0, y, width: WIDTH, height: boxHeight(lines) };
  const volts = Math.max(...taken.map(({ output }) => output?.volts ?? Number.NEGATIVE_INFINITY));
  const parts = [
    drawnBox(
      first,
      lines,
      taken.some(({ output }) => output?.clipsFirst === true),
    ),
  ];
  y += first.height;
  let carried = Number.isFinite(volts) ? volts : null;
  for (const { lines: words, volts: out, clipsFirst } of stages) {
    const inline = fitting([words[0], ...(words.length > 1 ? [words.slice(1).join(', ')] : [])], WIDTH);
    parts.push(
      html`<path class="wire" d="M${2 * INDENT} ${y}v${STEP_PX}m-4 -7l4 7l4 -7"/>${voltsAt(2 * INDENT + 10, y + 14, carried, 'start')}`,
    );
    y += STEP_PX;
    const box = { x: 0, y, width: WIDTH, height: boxHeight(inline) };
    parts.push(drawnBox(box, inline, clipsFirst));
    y += box.height;
    carried = out;
  }
  const notes = remarks.flatMap((remark) => wrapped(remark, SIGNS));
  const texts = notes.map(
    (line, i) => html`<text x="0" y="${y + (i + 1) * LINE_PX - 2}" class="remark">${line}</text>`,
  );
  return { svg: html`<g>${parts}${texts}</g>`, bottom: y + notes.length * LINE_PX };
}
