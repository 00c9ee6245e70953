import type { Words } from './drawing-parts.ts';
import type { DrawnFeed, DrawnStage } from './drawn.ts';

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

/** A feed with its words broken into lines, and its place from top to bottom. */
export interface Row {
  readonly feed: DrawnFeed;
  readonly words: readonly Words[];
  readonly y: number;
  readonly height: number;
  readonly stageHeight: number;
  readonly remarks: readonly string[];
}
