/** An end of a band. */
export type BandEnd = 'low' | 'high';

/** A fit as level against frequency on the grid, without its gain and without the coupling of the recorder. */
export interface BandCurve {
  readonly levelDb: Float64Array;
  /** What the band's edges alone take. */
  readonly edgeLossDb: Float64Array;
  /** Edges that the band has: none, one or two. */
  readonly edgeCount: number;
  /** What the edge of one side takes at a frequency. */
  readonly lossDbAt: (frequencyHz: number, side: BandEnd) => number;
}
