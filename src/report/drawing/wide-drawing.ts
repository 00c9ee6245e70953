import { type Html, html } from '../html.ts';
import {
  type Box,
  boxHeight,
  crossing,
  drawnBox,
  fitting,
  LINE_PX,
  SIGN_PX,
  voltsAt,
  type Words,
  wrapped,
} from './drawing-parts.ts';
import type { Across, Row } from './drawing-places.ts';
import { NOT_USED, SUM } from './drawing-words.ts';
import type { DrawnChain, DrawnFeed, DrawnOutput, DrawnTap } from './drawn.ts';
import { BATTERY_PX, batteryLine, sharedParts } from './shared-parts.ts';

const GAP = 12;
/** Room for one wire that goes into a box. */
const WIRE_PX = 15;

/** For the first screen of pages from 1000 px up, which shows it a quarter larger. */
export const WIDE: Across = {
  className: 'wide-chain',
  outputWidth: 182,
  bendX: 284,
  arriveX: 312,
  crossX: 330,
  sumX: 346,
  places: {
    converter: { x: 412, width: 118 },
    amplifier: { x: 594, width: 168 },
    speakers: { x: 828, width: 148 },
  },
};

/** For paper and for pages between a phone and 1000 px: letters stay large enough to read. */
export const MIDDLE: Across = {
  className: 'middle-chain',
  outputWidth: 216,
  bendX: 306,
  arriveX: 320,
  crossX: 336,
  sumX: 336,
  places: {
    converter: { x: 398, width: 114 },
    amplifier: { x: 562, width: 172 },
    speakers: { x: 786, width: 122 },
  },
};

/** How much larger than drawn it may be shown. */
const LARGEST = 1.25;
const SUM_WIDTH = 36;
/** Between outputs and speakers where nothing stands between them, as the car came. */
const SHORT_WIRE_PX = 110;

/** Room above the first boxes for the flag of what clips first. */
const TOP = 16;

/** The whole chain from left to right. */
export function wideDrawing(
  chain: DrawnChain,
  given: { title: string; foot: readonly string[]; battery: string | null; across: Across },
): Html {
  const direct = chain.feeds.every(({ stages }) => stages.length === 1);
  const across = direct ? shortened(given.across) : given.across;
  const outputs = chain.outputs.map((output) => ({
    ...output,
    words: fitting(output.lines, across.outputWidth),
  }));
  const outputBoxes = stacked(outputs.map(({ words }) => boxHeight(words)));
  const center = new Map(outputs.map(({ id }, i) => [id, middle(outputBoxes[i])]));
  const rows = rowsOf(chain.feeds, center, across);
  const { x, width } = across.places.speakers;
  const foot = given.foot.flatMap((line) => wrapped(line, Math.floor((x + width) / SIGN_PX)));
  const { drawing, amplifiersEnd } = sharedParts(rows, across.places);
  const below = Math.max(
    amplifiersEnd ?? 0,
    ...rows.filter(({ remarks }) => remarks.length > 0).map(({ y, height }) => y + height),
  );
  const battery =
    given.battery === null || amplifiersEnd === null
      ? ''
      : batteryLine(given.battery, { amplifiersEnd, below }, across.places);
  const bottom = Math.max(
    ...outputBoxes.map(({ y, height }) => y + height),
    ...rows.map(({ y, height }) => y + height),
    battery === '' ? 0 : below + BATTERY_PX,
  );
  const height = bottom + 8 + foot.length * LINE_PX;
  return html`<svg class="chain ${across.className}" viewBox="-2 0 ${x + width + 6} ${height}" style="max-width:${LARGEST * (x + width + 6)}px" role="img" aria-label="${given.title}">
${rows.map((row) => wiring(row, { center, across, crossed: crossedAtOutput(chain) }))}
${outputs.map((output, i) => drawnOutput(output, outputBoxes[i], across))}
${[...crossedAtOutput(chain)].map(([id, word]) => swapAtOutput(center.get(id) ?? 0, word, across))}
${battery}${drawing}${rows.map((row) => feedVolts(row, across))}
${foot.map((line, i) => html`<text x="0" y="${bottom + 8 + (i + 1) * LINE_PX - 4}" class="foot">${line}</text>`)}</svg>`;
}

/** Remarks stand below the boxes of their feed, from the converter on. */
function remarkSigns({ places: { converter, speakers } }: Across): number {
  return Math.floor((speakers.x + speakers.width - converter.x) / SIGN_PX);
}

function shortened(across: Across): Across {
  const x = across.outputWidth + SHORT_WIRE_PX;
  return { ...across, places: { ...across.places, speakers: { ...across.places.speakers, x } } };
}

/** Each feed as near to the middle of its outputs as the one before lets it. */
function rowsOf(feeds: readonly DrawnFeed[], center: ReadonlyMap<string, number>, across: Across): Row[] {
  let free = TOP;
  return feeds.map((feed) => {
    const { sides, stages } = feed;
    const words = stages.map(({ kind, lines }) => fitting(lines, across.places[kind].width));
    const remarks = feed.remarks.flatMap((remark) => wrapped(remark, remarkSigns(across)));
    const wires = sides.reduce((sum, { taps }) => sum + taps.length, 0);
    const stageHeight = Math.max((wires + sides.length - 1) * WIRE_PX, ...words.map(boxHeight));
    const height = stageHeight + remarks.length * LINE_PX;
    const ys = sides.flatMap(({ taps }) => taps.flatMap(({ id }) => center.get(id) ?? []));
    const wish = ys.reduce((sum, y) => sum + y, 0) / Math.max(1, ys.length) - stageHeight / 2;
    const y = Math.max(free, wish);
    // The next feed's mark of what clips first stands above its boxes.
    free = y + height + GAP + (remarks.length > 0 ? LINE_PX : 0);
    return { feed, words, y, height, stageHeight, remarks };
  });
}

/** Outputs that every feed takes with the same swap: it is drawn where it is done, once, before the wires part. */
function crossedAtOutput({ feeds }: DrawnChain): Map<string, string> {
  const taps = feeds.flatMap(({ sides }) => sides.flatMap((side) => side.taps));
  return new Map(
    taps
      .filter(({ id, swap }) => swap !== '' && taps.every((other) => other.id !== id || other.swap === swap))
      .map(({ id, swap }) => [id, swap]),
  );
}

function swapAtOutput(y: number, word: string, { bendX }: Across): Html {
  return crossing(bendX - 16, y, { word, x: bendX - 2, y: y + 17, anchor: 'end' });
}

function wiring(
  { feed: { sides, stages }, y: top, stageHeight }: Row,
  {
    center,
    across,
    crossed,
  }: {
    center: ReadonlyMap<string, number>;
    across: Across;
    crossed: ReadonlyMap<string, string>;
  },
): Html {
  const into = across.places[stages[0]?.kind ?? 'speakers'].x;
  const wires = sides.reduce((sum, { taps }) => sum + taps.length, 0);
  const pitch = Math.min(MOST_APART_PX, stageHeight / (wires + sides.length - 1));
  let y = top + stageHeight / 2 - (pitch * (wires + sides.length - 2)) / 2;
  return html`${sides.map(({ taps, summed }) => {
    const first = y;
    const lines = taps.map((tap) => {
      const line = wire(crossed.has(tap.id) ? { ...tap, swap: '' } : tap, {
        from: center.get(tap.id) ?? y,
        to: y,
        into: summed ? across.sumX : into,
        across,
      });
      y += pitch;
      return line;
    });
    const last = y - pitch;
    y += pitch;
    return html`${lines}${summed ? sumBox(first, last, into, across) : ''}`;
  })}`;
}

const MOST_APART_PX = 22;

function wire(
  { swap, trim }: DrawnTap,
  { from, to, into, across }: { from: number; to: number; into: number; across: Across },
): Html {
  const { outputWidth, bendX, arriveX, crossX, sumX } = across;
  return html`<path class="wire" d="M${outputWidth} ${from}H${bendX}L${arriveX} ${to}H${into}"/>${swap === '' ? '' : crossing(crossX, to, { word: swap, x: crossX + 17, y: to - 3, anchor: 'start' })}${trim === '' ? '' : html`<text x="${sumX - 4}" y="${to + 12}" text-anchor="end" class="swap">${trim}</text>`}`;
}

function sumBox(top: number, foot: number, into: number, { sumX }: Across): Html {
  const middle = (top + foot) / 2;
  const height = foot - top + WIRE_PX;
  return html`<path class="wire" d="M${sumX + SUM_WIDTH} ${middle}H${into}"/><rect x="${sumX}" y="${middle - height / 2}" width="${SUM_WIDTH}" height="${height}" class="node"/><text x="${sumX + SUM_WIDTH / 2}" y="${middle + 4}" text-anchor="middle">${SUM}</text>`;
}

function drawnOutput(
  { words, volts, clipsFirst, inUse }: DrawnOutput & { readonly words: Words },
  { y, height }: Stack,
  { outputWidth }: Across,
): Html {
  const box: Box = { x: 0, y, width: outputWidth, height };
  const at = y + height / 2;
  return html`${drawnBox(box, words, clipsFirst)}${voltsAt(outputWidth + 6, at - 4, volts, 'start')}${inUse ? '' : html`<text x="${outputWidth + 6}" y="${at + 12}" class="foot">${NOT_USED}</text>`}`;
}

function feedVolts({ feed: { stages }, y, stageHeight, remarks }: Row, { places }: Across): Html {
  const at = y + stageHeight / 2;
  const lines = stages.map(({ kind, volts }, i) => {
    const next = stages[i + 1];
    const right = places[kind].x + places[kind].width;
    return next === undefined
      ? ''
      : html`<path class="wire" d="M${right} ${at}H${places[next.kind].x}"/>${voltsAt((right + places[next.kind].x) / 2, at - 5, volts)}`;
  });
  return html`${lines}${remarks.map(
    (line, i) =>
      html`<text x="${places.converter.x}" y="${y + stageHeight + (i + 1) * LINE_PX - 2}" class="remark">${line}</text>`,
  )}`;
}

interface Stack {
  readonly y: number;
  readonly height: number;
}

function stacked(heights: readonly number[]): Stack[] {
  let free = TOP;
  return heights.map((height) => {
    const y = free;
    free += height + GAP;
    return { y, height };
  });
}

function middle({ y, height }: Stack): number {
  return y + height / 2;
}
