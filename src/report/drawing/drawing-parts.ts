import { formatDbu, plainVolts } from '../format.ts';
import { Html, html } from '../html.ts';
import { CLIPS_FIRST } from './drawing-words.ts';

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

/** Lines of words in a box, its name first. */
export interface Words {
  readonly name: readonly string[];
  readonly lines: readonly string[];
}

/** What does not fit into the width is broken into further lines. */
export function fitting([name, ...lines]: readonly string[], width: number): Words {
  const room = width - 2 * PADDING_PX;
  return {
    name: wrapped(name ?? '', Math.floor(room / NAME_SIGN_PX)),
    lines: lines.flatMap((line) => wrapped(line, Math.floor(room / SIGN_PX))),
  };
}

export function boxHeight({ name, lines }: Words): number {
  return (name.length + lines.length) * LINE_PX + 2 * PADDING_PX;
}

/** A box with words, its name strong; a thick edge and a word where the chain clips first. */
export function drawnBox(box: Box, words: Words, clipsFirst: boolean): Html {
  return html`${drawnEdge(box, clipsFirst)}${drawnWords(box, words)}${clipsFirst ? clipMark(box) : ''}`;
}

export function drawnEdge({ x, y, width, height }: Box, clipsFirst: boolean): Html {
  return html`<rect x="${x}" y="${y}" width="${width}" height="${height}" class="${clipsFirst ? 'node first' : 'node'}"/>`;
}

export function drawnWords({ x, y }: Pick<Box, 'x' | 'y'>, { name, lines }: Words): Html {
  return html`${[...name, ...lines].map(
    (line, i) =>
      html`<text x="${x + PADDING_PX}" y="${y + PADDING_PX + 11 + i * LINE_PX}"${i < name.length ? new Html(' class="name"') : ''}>${line}</text>`,
  )}`;
}

/** A flag on the box's upper edge: a shape and a word. */
export function clipMark({ x, y, width }: Box): Html {
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

/** A pair whose wires cross over, and the word for it in its place. */
export function crossing(
  x: number,
  y: number,
  said: { word: string; x: number; y: number; anchor: 'start' | 'end' },
): Html {
  const strand = (up: number) =>
    `M${x - 14} ${y + up}C${x - 4} ${y + up} ${x + 4} ${y - up} ${x + 14} ${y - up}`;
  return html`<rect x="${x - 14}" y="${y - 6}" width="28" height="12" class="gap"/><path class="wire" d="${strand(5)}${strand(-5)}M${x - 14} ${y - 5}V${y + 5}M${x + 14} ${y - 5}V${y + 5}"/><text x="${said.x}" y="${said.y}" text-anchor="${said.anchor}" class="swap">${said.word}</text>`;
}

/** Words in lines of at most so many signs. */
export function wrapped(text: string, most: number): string[] {
  const lines: string[] = [];
  // A figure keeps its unit beside it.
  for (const word of text.replace(/(?<=\d) (?=[A-Za-zΩµ]{1,3}\b|Ω)/g, '\u00a0').split(' ')) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= most)
      lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}
