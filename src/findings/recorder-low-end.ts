import type { FindingOf } from '../model/finding.ts';
import { visibleEdge } from './band-edge.ts';
import {
  edgeOf,
  type FittedEdge,
  type FittedTap,
  fittedRangeHz,
  isFitted,
  type UnfittedTap,
} from './fitted-tap.ts';

type Band = FindingOf<'band'>;

/** A capacitor makes a high-pass of the first order, a transformer behind one of the second. */
const HIGHEST_ORDER = 2;
/** Small transformers and capacitors into a low input resistance lose bass from here down (common practice). */
const HIGHEST_CORNER_HZ = 60;
/** Capacitors of 20 % in the two channels of one adapter, and what noise adds. */
const SAME_CORNER = 1.3;
/** A tap whose own band ends this far above a corner shows nothing of it. */
const HIDES_FROM = 1.5;

/**
 * Marks the low edge of every tap where all that reach so far down fall alike at every setting: the recorder, its pad or an
 * adapter may lose that bass, and only a loop take, which is then divided out, can tell. Bands come in the order of the taps.
 */
export function withRecorderDoubt(
  bands: readonly Band[],
  taps: readonly (FittedTap | UnfittedTap)[],
): Band[] {
  const ends = taps.map((tap) => (isFitted(tap) ? lowEnd(tap) : null));
  const gentle = ends.flatMap((end) => (end?.isGentle === true ? [end.cornerHz] : []));
  const [lowest, highest] = [Math.min(...gentle), Math.max(...gentle)];
  const alike = gentle.length > 0 && highest < SAME_CORNER * lowest;
  const contradicted = ends.some(
    (end) => end !== null && !end.isGentle && end.cornerHz < HIDES_FROM * highest,
  );
  if (!alike || contradicted) return [...bands];
  return bands.map((band, i) =>
    band.lowEdge !== null && ends[i]?.isGentle === true ? { ...band, lowEdgeMayBeRecorder: true } : band,
  );
}

interface LowEnd {
  /** Whether a recorder's input may make it. */
  readonly isGentle: boolean;
  /** Where there is no edge, the lowest frequency that was seen. */
  readonly cornerHz: number;
}

function lowEnd(tap: FittedTap): LowEnd {
  const edge = visibleEdge(tap, tap.best, 'low') ?? edgeOf(tap.best, 'low');
  if (edge === null) return { isGentle: false, cornerHz: fittedRangeHz(tap)[0] };
  const edges = [edge, ...tap.rivals.flatMap((rival) => edgeOf(rival, 'low') ?? [])];
  const isRadio = tap.measurements.every(({ recorder }) => recorder.dividedOut === true);
  return { isGentle: !isRadio && edges.some(isGentle), cornerHz: edge.cornerHz };
}

function isGentle({ shape, cornerHz }: FittedEdge): boolean {
  return shape.order <= HIGHEST_ORDER && cornerHz <= HIGHEST_CORNER_HZ;
}
