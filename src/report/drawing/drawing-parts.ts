import { formatDbu, plainVolts } from '../format.ts';
import { Html, html } from '../html.ts';
import { CLIPS_FIRST, SWAP } from './drawing-words.ts';

export const LINE_PX = 14;
const PADDING_PX = 5;
/** Letters of the wider ones of common fonts, at 12 px and strong, and at 11 px. */
const NAME_SIGN_PX = 7.4;
export const SIGN_PX = 5.8;

export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export function boxHeight(lines: readonly string[]): number {
  return lines.length * LINE_PX + 2 * PADDING_PX;
}

/** The lines of a box, those that are too long for it broken; its name is cut. */
export function fitting([name, ...lines]: readonly string[], width: number): string[] {
  const room = width - 2 * PADDING_PX;
  return [
    shortened(name ?? '', Math.floor(room / NAME_SIGN_PX)),
    ...lines.flatMap((line) => wrapped(line, Math.floor(room / SIGN_PX))),
  ];
}

/** A box with lines of words, the first one its name; a thick edge and a word where the chain clips first. */
export function drawnBox(box: Box, lines: readonly string[], clipsFirst: boolean): Html {
  const { x, y, width, height } = box;
  const texts = lines.map(
    (line, i) =>
      html`<text x="${x + PADDING_PX}" y="${y + PADDING_PX + 11 + i * LINE_PX}"${i === 0 ? new Html(' class="name"') : ''}>${line}</text>`,
  );
  return html`<rect x="${x}" y="${y}" width="${width}" height="${height}" class="${clipsFirst ? 'node first' : 'node'}"/>${texts}${clipsFirst ? clipMark(box) : ''}`;
}

/** A flag on the box's upper edge: a shape and a word. */
function clipMark({ x, y, width }: Box): Html {
  const right = x + width;
  const left = right - 66;
  return html`<path class="flag" d="M${left} ${y - 14}H${right + 1}V${y}H${left}L${left - 7} ${y - 7}Z"/><text x="${left + 6}" y="${y - 3}" class="flag-word">${CLIPS_FIRST}</text>`;
}

/** Volts at a place of a line, in the unit that the page shows; nothing where they are not known. */
export function voltsAt(x: number, y: number, voltsRms: number | null, anchor = 'middle'): Html {
  if (voltsRms === null) return html``;
  const measured = { value: voltsRms, plusMinus: 0 };
  return html`<text x="${x}" y="${y}" class="volts" text-anchor="${anchor}"><tspan class="in-volts">${plainVolts(voltsRms)}</tspan><tspan class="in-dbu">${formatDbu(measured)}</tspan></text>`;
}

/** A pair whose wires cross over, and the word for it. */
export function crossing(x: number, y: number): Html {
  const strand = (up: number) =>
    `M${x - 14} ${y + up}C${x - 4} ${y + up} ${x + 4} ${y - up} ${x + 14} ${y - up}`;
  return html`<rect x="${x - 14}" y="${y - 6}" width="28" height="12" class="gap"/><path class="wire" d="${strand(5)}${strand(-5)}M${x - 14} ${y - 5}V${y + 5}M${x + 14} ${y - 5}V${y + 5}"/><text x="${x + 17}" y="${y - 3}" class="swap">${SWAP}</text>`;
}

function shortened(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}\u2026`;
}

/** Words in lines of at most so many signs. */
export function wrapped(text: string, most: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
