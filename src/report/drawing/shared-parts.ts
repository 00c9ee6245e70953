import { type Html, html } from '../html.ts';
import { type Box, boxHeight, clipMark, drawnEdge, drawnWords, type Words } from './drawing-parts.ts';
import type { Across, Row } from './drawing-places.ts';
import { BATTERY } from './drawing-words.ts';
import type { DrawnStage } from './drawn.ts';

const KINDS = ['converter', 'amplifier', 'speakers'] as const;
/** What the battery, its fuse and their line take below the amplifiers. */
export const BATTERY_PX = 44;
const BATTERY_WIDTH = 62;
const POWER_INSET_PX = 18;

/** One stage of a feed in its place. */
interface Placed {
  readonly stage: DrawnStage;
  readonly words: Words;
  readonly box: Box;
  /** Remarks below it: a box that went on would cover them. */
  readonly ends: boolean;
}

/**
 * Converters, amplifiers and speakers of all feeds. A part that several neighbouring feeds share is one box with its name
 * once; the power line runs from amplifier to amplifier.
 *
 * @returns the lower edge of the last amplifier, null where there is none
 */
export function sharedParts(
  rows: readonly Row[],
  places: Across['places'],
): { drawing: Html; amplifiersEnd: number | null } {
  const groups = KINDS.flatMap((kind) => grouped(rows.flatMap((row) => placed(row, kind, places))));
  const amplifiers = groups.filter(([{ stage }]) => stage.kind === 'amplifier').map(boxOf);
  const powerX = places.amplifier.x + places.amplifier.width - POWER_INSET_PX;
  const between = amplifiers
    .slice(1)
    .map(
      ({ y }, i) => html`<path class="power" d="M${powerX} ${amplifiers[i].y + amplifiers[i].height}V${y}"/>`,
    );
  const last = amplifiers.at(-1);
  return {
    drawing: html`${between}${groups.map(drawnPart)}`,
    amplifiersEnd: last === undefined ? null : last.y + last.height,
  };
}

/** Battery, fuse, and the line up to the last amplifier; `below` is where what is written under the boxes ends. */
export function batteryLine(
  fuse: string,
  { amplifiersEnd, below }: { amplifiersEnd: number; below: number },
  { amplifier }: Across['places'],
): Html {
  const powerX = amplifier.x + amplifier.width - POWER_INSET_PX;
  const y = below + BATTERY_PX - 26;
  const line = y + 12;
  const right = amplifier.x + BATTERY_WIDTH;
  const fuseX = (right + powerX) / 2;
  return html`<path class="power" d="M${right} ${line}H${powerX}V${amplifiersEnd}"/><rect x="${fuseX - 14}" y="${line - 4}" width="28" height="8" class="node"/><text x="${fuseX}" y="${line - 8}" text-anchor="middle" class="fuse">${fuse}</text>${drawnEdge({ x: amplifier.x, y, width: BATTERY_WIDTH, height: 24 }, false)}${drawnWords({ x: amplifier.x, y: y }, { name: [BATTERY], lines: [] })}`;
}

function placed(
  { feed, words, y, stageHeight, remarks }: Row,
  kind: DrawnStage['kind'],
  places: Across['places'],
): Placed[] {
  return feed.stages.flatMap((stage, i) => {
    if (stage.kind !== kind) return [];
    // The wires end in the first box, however many they are.
    const height = i === 0 ? stageHeight : boxHeight(words[i]);
    const box = { ...places[kind], y: y + (stageHeight - height) / 2, height };
    return [{ stage, words: words[i], box, ends: remarks.length > 0 }];
  });
}

function grouped(list: readonly Placed[]): Placed[][] {
  const groups: Placed[][] = [];
  for (const one of list) {
    const before = groups.at(-1)?.at(-1);
    const shared = before !== undefined && !before.ends && before.stage.part === one.stage.part;
    if (shared) groups[groups.length - 1].push(one);
    else groups.push([one]);
  }
  return groups;
}

function boxOf(group: readonly Placed[]): Box {
  const [{ box: first }] = group;
  const last = group[group.length - 1].box;
  return { ...first, height: last.y + last.height - first.y };
}

function drawnPart(group: readonly Placed[]): Html {
  const [{ words: first }] = group;
  const said = (words: Words, i: number): Words => ({
    name: i === 0 ? words.name : [],
    lines: i > 0 && sameLines(words, first) ? [] : words.lines,
  });
  const texts = group.map(({ box, words }, i) => drawnWords(box, said(words, i)));
  // Feeds below one that clips here do so, too, or have a mark of their own.
  const marks = group.flatMap(({ stage, box }, i) =>
    stage.clipsFirst && group[i - 1]?.stage.clipsFirst !== true ? [clipMark(box)] : [],
  );
  const clips = group.some(({ stage }) => stage.clipsFirst);
  return html`${drawnEdge(boxOf(group), clips)}${texts}${marks}`;
}

function sameLines(a: Words, b: Words): boolean {
  return a.lines.join() === b.lines.join();
}
