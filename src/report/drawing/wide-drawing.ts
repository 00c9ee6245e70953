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
  wrapped,
} from './drawing-parts.ts';
import { NOT_USED, SUM } from './drawing-words.ts';
import type { DrawnChain, DrawnFeed, DrawnOutput, DrawnStage } from './drawn-chain.ts';

const GAP = 12;
/** Room for one wire that goes into a box. */
const WIRE_PX = 15;

type Places = Readonly<Record<DrawnStage['kind'], { readonly x: number; readonly width: number }>>;

/** Where things stand across the drawing. */
export interface Across {
  readonly className: string;
  readonly outputWidth: number;
  /** Where wires leave the height of their output, arrive at that of their box, may cross over, and are summed. */
  readonly bendX: number;
  readonly arriveX: number;
  readonly crossX: number;
  readonly sumX: number;
  readonly places: Places;
}

/** For pages from 1000 px up. */
export const WIDE: Across = {
  className: 'wide-chain',
  outputWidth: 262,
  bendX: 318,
  arriveX: 372,
  crossX: 394,
  sumX: 414,
  places: {
    converter: { x: 476, width: 172 },
    amplifier: { x: 716, width: 216 },
    speakers: { x: 1002, width: 206 },
  },
};

/** For paper and for pages between a phone and 1000 px: letters stay large enough to read. */
export const MIDDLE: Across = {
  className: 'middle-chain',
  outputWidth: 210,
  bendX: 256,
  arriveX: 282,
  crossX: 302,
  sumX: 320,
  places: {
    converter: { x: 374, width: 142 },
    amplifier: { x: 568, width: 166 },
    speakers: { x: 786, width: 122 },
  },
};

const SUM_WIDTH = 36;
/** Between outputs and speakers where nothing stands between them, as the car came. */
const SHORT_WIRE_PX = 110;

/** Room above the first boxes for the flag of what clips first. */
const TOP = 16;

/** The whole chain from left to right. */
export function wideDrawing(
  chain: DrawnChain,
  { title, foot: words, across: given }: { title: string; foot: readonly string[]; across: Across },
): Html {
  const outputs = chain.outputs.map((output) => ({
    ...output,
    lines: fitting(output.lines, given.outputWidth),
  }));
  const feeds = chain.feeds.map((feed) => ({
    ...feed,
    stages: feed.stages.map((stage) => ({
      ...stage,
      lines: fitting(stage.lines, given.places[stage.kind].width),
    })),
  }));
  const outputBoxes = stacked(outputs.map(({ lines }) => boxHeight(lines)));
  const center = new Map(outputs.map(({ id }, i) => [id, middle(outputBoxes[i])]));
  const rows = feedRows(feeds, center, given);
  const across = feeds.every(({ stages }) => stages.length === 1) ? shortened(given) : given;
  const { x, width } = across.places.speakers;
  const foot = words.flatMap((line) => wrapped(line, Math.floor((x + width) / SIGN_PX)));
  const bottom = Math.max(
    ...outputBoxes.map(({ y, height }) => y + height),
    ...rows.map(({ y, height }) => y + height),
  );
  const height = bottom + 8 + foot.length * LINE_PX;
  return html`<svg class="chain ${across.className}" viewBox="-2 0 ${x + width + 6} ${height}" style="max-width:${x + width + 6}px" role="img" aria-label="${title}">
${feeds.map((feed, i) => wiring(feed, rows[i], center, across))}
${outputs.map((output, i) => drawnOutput(output, outputBoxes[i], across))}
${feeds.map((feed, i) => drawnFeed(feed, rows[i], across))}
${foot.map((line, i) => html`<text x="0" y="${bottom + 8 + (i + 1) * LINE_PX - 4}" class="foot">${line}</text>`)}</svg>`;
}

interface Row {
  readonly y: number;
  readonly height: number;
  readonly stageHeight: number;
  readonly remarks: readonly string[];
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
function feedRows(feeds: readonly DrawnFeed[], center: ReadonlyMap<string, number>, across: Across): Row[] {
  let free = TOP;
  return feeds.map(({ sides, stages, remarks }) => {
    const lines = remarks.flatMap((remark) => wrapped(remark, remarkSigns(across)));
    const wires = sides.reduce((sum, { taps }) => sum + taps.length, 0);
    const stageHeight = Math.max(
      (wires + sides.length - 1) * WIRE_PX,
      ...stages.map((stage) => boxHeight(stage.lines)),
    );
    const height = stageHeight + lines.length * LINE_PX;
    const ys = sides.flatMap(({ taps }) => taps.flatMap(({ id }) => center.get(id) ?? []));
    const wish = ys.reduce((sum, y) => sum + y, 0) / Math.max(1, ys.length) - stageHeight / 2;
    const y = Math.max(free, wish);
    free = y + height + GAP;
    return { y, height, stageHeight, remarks: lines };
  });
}

function wiring(
  { sides, stages }: DrawnFeed,
  row: Row,
  center: ReadonlyMap<string, number>,
  across: Across,
): Html {
  const into = across.places[stages[0]?.kind ?? 'speakers'].x;
  const wires = sides.reduce((sum, { taps }) => sum + taps.length, 0);
  const pitch = Math.min(MOST_APART_PX, row.stageHeight / (wires + sides.length - 1));
  let y = row.y + row.stageHeight / 2 - (pitch * (wires + sides.length - 2)) / 2;
  return html`${sides.map(({ taps, summed }) => {
    const top = y;
    const lines = taps.map((tap) => {
      const line = wire(tap, {
        from: center.get(tap.id) ?? y,
        to: y,
        into: summed ? across.sumX : into,
        across,
      });
      y += pitch;
      return line;
    });
    const foot = y - pitch;
    y += pitch;
    return html`${lines}${summed ? sumBox(top, foot, into, across) : ''}`;
  })}`;
}

const MOST_APART_PX = 22;

function wire(
  { swapped, trim }: DrawnFeed['sides'][number]['taps'][number],
  { from, to, into, across }: { from: number; to: number; into: number; across: Across },
): Html {
  const { outputWidth, bendX, arriveX, crossX, sumX } = across;
  return html`<path class="wire" d="M${outputWidth} ${from}H${bendX}L${arriveX} ${to}H${into}"/>${swapped ? crossing(crossX, to) : ''}${trim === '' ? '' : html`<text x="${sumX - 4}" y="${to + 12}" text-anchor="end" class="swap">${trim}</text>`}`;
}

function sumBox(top: number, foot: number, into: number, { sumX }: Across): Html {
  const middle = (top + foot) / 2;
  const height = foot - top + WIRE_PX;
  return html`<path class="wire" d="M${sumX + SUM_WIDTH} ${middle}H${into}"/><rect x="${sumX}" y="${middle - height / 2}" width="${SUM_WIDTH}" height="${height}" class="node"/><text x="${sumX + SUM_WIDTH / 2}" y="${middle + 4}" text-anchor="middle">${SUM}</text>`;
}

function drawnOutput(
  { lines, volts, clipsFirst, inUse }: DrawnOutput,
  { y, height }: Stack,
  { outputWidth }: Across,
): Html {
  const box = { x: 0, y, width: outputWidth, height };
  const at = y + height / 2;
  return html`${drawnBox(box, lines, clipsFirst)}${voltsAt(outputWidth + 6, at - 4, volts, 'start')}${inUse ? '' : html`<text x="${outputWidth + 6}" y="${at + 12}" class="foot">${NOT_USED}</text>`}`;
}

function drawnFeed({ stages }: DrawnFeed, { y, stageHeight, remarks }: Row, { places }: Across): Html {
  const boxes = stages.map(({ kind, lines }, i): Box => {
    // The wires end in the first box, however many they are.
    const height = i === 0 ? stageHeight : boxHeight(lines);
    return { ...places[kind], y: y + (stageHeight - height) / 2, height };
  });
  const at = y + stageHeight / 2;
  return html`${stages.map((stage, i) => {
    const next = boxes[i + 1];
    const right = boxes[i].x + boxes[i].width;
    const line =
      next === undefined
        ? ''
        : html`<path class="wire" d="M${right} ${at}H${next.x}"/>${voltsAt((right + next.x) / 2, at - 5, stage.volts)}`;
    return html`${line}${drawnBox(boxes[i], stage.lines, stage.clipsFirst)}`;
  })}${remarks.map(
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
