import type { Doubt } from '../../model/doubt.ts';
import type { FindingOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { visibleEdge } from './band-edge.ts';
import {
  edgeOf,
  type FittedEdge,
  type FittedTap,
  fittedRangeHz,
  isFitted,
  type UnfittedTap,
} from './fitted-tap.ts';

type BandFinding = FindingOf<'band'>;

/** A capacitor makes a high-pass of the first order, a transformer behind one of the second. */
const HIGHEST_ORDER = 2;
/** Small transformers and capacitors into a low input resistance lose bass from here down (common practice: a pad of 10 kilohm behind 0.15 microfarad ends at 106 Hz). */
const HIGHEST_CORNER_HZ = 120;
/** Capacitors of 20 % in the two channels of one adapter, and what noise adds. */
const SAME_CORNER = 1.3;
/** A tap whose own band ends this far above a corner shows nothing of it. */
const HIDES_FROM = 1.5;

/**
 * The doubt about the low edge of taps where all that reach so far down fall alike at every setting: the recorder, its pad or
 * an adapter may lose that bass, and only a loop take, which is then divided out, can tell. Bands come in the order of the taps.
 */
export function recorderLowEndDoubts(
  bands: readonly BandFinding[],
  taps: readonly (FittedTap | UnfittedTap)[],
): Doubt[] {
  const ends = taps.map((tap, i) => (isFitted(tap) ? lowEnd(tap, bands[i]) : null));
  const gentle = ends.flatMap((end) => (end?.isGentle === true ? [end] : []));
  const points = gentle.map(({ minus3Hz }) => minus3Hz);
  const [lowest, highest] = [Math.min(...points), Math.max(...points)];
  const alike = gentle.length > 0 && (areAlike(points) || areAlike(gentle.map(({ cornerHz }) => cornerHz)));
  const doubted = bands.map(
    (band, i) =>
      (ends[i]?.isGentle === true && (band.lowEdge !== null || isLowEndOpen(band))) ||
      (ends[i] !== null && band.lowEdge !== null && fallsThere(band.lowEdge, { lowest, highest })),
  );
  const contradicted = ends.some(
    (end, i) => end !== null && !doubted[i] && !isLowEndOpen(bands[i]) && end.cornerHz < HIDES_FROM * highest,
  );
  const tapIds = bands.flatMap((band, i) => (doubted[i] ? band.tapIds : []));
  if (!alike || contradicted || tapIds.length === 0) return [];
  return [
    { kind: 'low end', reason: { code: 'radio or recorder loses the low end' }, tapIds, settings: null },
  ];
}

/** Whether a filter or EQ shapes its low end, and noise leaves open which: it says nothing against the others. */
function isLowEndOpen({ reason }: BandFinding): boolean {
  return (
    reason !== null &&
    typeof reason !== 'string' &&
    reason.code === 'ends in doubt' &&
    reason.ends.some(({ side }) => side === 'low')
  );
}

/** Whether a fall whose filter could not be told reaches −3 dB where the others do: it says nothing against them. */
function fallsThere(
  { minus3Hz, slopeDbPerOctave }: NonNullable<BandFinding['lowEdge']>,
  { lowest, highest }: { lowest: number; highest: number },
): boolean {
  return (
    typeof slopeDbPerOctave !== 'number' &&
    !isNotMeasurable(minus3Hz) &&
    minus3Hz.value > lowest / SAME_CORNER &&
    minus3Hz.value < highest * SAME_CORNER
  );
}

interface LowEnd {
  /** Whether a recorder's input may make it. */
  readonly isGentle: boolean;
  /** Where there is no edge, the lowest frequency that was seen. */
  readonly cornerHz: number;
  /** Its corner where it is not known. Filters of all kinds compare by it, but a narrow band has it off its corner. */
  readonly minus3Hz: number;
}

function lowEnd(tap: FittedTap, { lowEdge }: BandFinding): LowEnd {
  const edge = visibleEdge(tap, tap.best, 'low') ?? edgeOf(tap.best, 'low');
  if (edge === null) {
    const [lowestHz] = fittedRangeHz(tap);
    return { isGentle: false, cornerHz: lowestHz, minus3Hz: lowestHz };
  }
  const edges = [edge, ...tap.rivals.flatMap((rival) => edgeOf(rival, 'low') ?? [])];
  const isRadio = tap.measurements.every(({ recorder }) => recorder.dividedOut === true);
  const { cornerHz } = edge;
  const minus3Hz = lowEdge === null || isNotMeasurable(lowEdge.minus3Hz) ? cornerHz : lowEdge.minus3Hz.value;
  return { isGentle: !isRadio && edges.some(isGentle), cornerHz, minus3Hz };
}

function areAlike(frequenciesHz: readonly number[]): boolean {
  return Math.max(...frequenciesHz) < SAME_CORNER * Math.min(...frequenciesHz);
}

function isGentle({ shape, cornerHz }: FittedEdge): boolean {
  return shape.order <= HIGHEST_ORDER && cornerHz <= HIGHEST_CORNER_HZ;
}
