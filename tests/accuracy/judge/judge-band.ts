import { type BandEdge, type Finding, findingsOf } from '../../../src/model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason } from '../../../src/model/measured.ts';
import { type Claim, given, inPercent, judged, judgedName, type Reading } from '../outcome.ts';
import { measuredEdgeHz } from './true-edge.ts';
import { downDb, type TrueTap } from './true-tap.ts';

/** Pairs this close are a crossover, pairs this far apart are none (two thirds of an octave is the finding's own limit). */
const SURELY_A_PAIR_OCTAVES = 0.5;
const SURELY_NO_PAIR_OCTAVES = 0.85;

const SIDES = [
  { side: 'low', filterSide: 'high-pass' },
  { side: 'high', filterSide: 'low-pass' },
] as const;

/** Band limits of one tap: whether there are any, where, how steep, of which family. */
export function judgeBand(
  truth: TrueTap,
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const { tap, factory } = truth;
  const found = findingsOf(findings, 'band').find(({ tapIds }) => tapIds[0] === tap.id);
  const claims: Claim[] = [];
  const readings: Reading[] = [];
  const climbsFromACorner = climbs(tap);
  for (const { side, filterSide } of SIDES) {
    const where = `${tap.id} ${side}`;
    const filter = tap.crossover.find((one) => one.side === filterSide);
    // A high-pass that is there at every setting and only climbs is a band limit at its own corner as well.
    const alsoClimbs = side === 'low' && tap.volumeDependent.some((entry) => entry.kind === 'high-pass');
    const edge = (side === 'low' ? found?.lowEdge : found?.highEdge) ?? null;
    const common = { snrDb: factory.snrDb, where };
    claims.push({
      what: 'band limit',
      ...common,
      judgement: judged({
        truth: filter !== undefined ? 'present' : alsoClimbs ? 'borderline' : 'absent',
        said: edge !== null ? true : found === undefined || found.reason !== null ? null : false,
        answerable: true,
      }),
      detail: `truth ${JSON.stringify(filter ?? null)} eq ${JSON.stringify(tap.fixedEq)} said ${JSON.stringify(edge)} ${JSON.stringify(found?.reason ?? null)}`,
    });
    // Its own corner at the plateau is an edge that the truth of the crossover alone does not have.
    if (filter === undefined || edge === null || alsoClimbs || climbsFromACorner) continue;
    const detail = `${filter.family} ${filter.order} ${filter.cornerHz.toFixed(1)} Hz, eq ${JSON.stringify(tap.fixedEq)}`;
    readings.push(
      ...pointReadings(truth, { side, dropDb: 3.0103, answer: edge.minus3Hz, common, detail }),
      ...pointReadings(truth, { side, dropDb: 6.0206, answer: edge.minus6Hz, common, detail }),
    );
    claims.push(
      ...nameClaims(edge, filter, { common, detail, answerable: !hasEqAround(tap, filter.cornerHz) }),
    );
    if (
      !isNotMeasurable(edge.filter) &&
      edge.filter.family === filter.family &&
      edge.filter.order === filter.order
    )
      readings.push({
        what: 'corner',
        unit: '%',
        ...inPercent(edge.filter.cornerHz, filter.cornerHz),
        ...common,
        detail,
      });
  }
  return { claims, readings };
}

function pointReadings(
  truth: TrueTap,
  of: {
    side: 'low' | 'high';
    dropDb: number;
    answer: MeasuredOrReason;
    common: Pick<Reading, 'snrDb' | 'where'>;
    detail: string;
  },
): Reading[] {
  const { side, dropDb, answer, common, detail } = of;
  const expectedHz = measuredEdgeHz(truth, { side, dropDb });
  if (expectedHz === null) return [];
  return given(answer).map((value) => ({
    what:
      truth.tap.fixedEq.length === 0
        ? `-${dropDb.toFixed(0)} dB point`
        : `-${dropDb.toFixed(0)} dB point, with fixed EQ`,
    unit: '%',
    ...inPercent(value, expectedHz),
    ...common,
    detail: `truth ${expectedHz.toFixed(2)}, ${detail}`,
  }));
}

function nameClaims(
  edge: BandEdge,
  filter: TrueTap['tap']['crossover'][number],
  {
    common,
    detail,
    answerable,
  }: { common: Pick<Claim, 'snrDb' | 'where'>; detail: string; answerable: boolean },
): Claim[] {
  const slope = typeof edge.slopeDbPerOctave === 'number' ? `${edge.slopeDbPerOctave}` : null;
  const name = isNotMeasurable(edge.filter) ? null : `${edge.filter.family} ${edge.filter.order}`;
  const reasons = [edge.slopeDbPerOctave, edge.filter]
    .flatMap((answer) =>
      typeof answer === 'object' && isNotMeasurable(answer) ? [answer.notMeasurable] : [],
    )
    .join('; ');
  // Bessel of order 1 is Butterworth of order 1.
  const accepted = filter.family === 'bessel' && filter.order === 1 ? ['butterworth 1'] : [];
  return [
    {
      what: 'slope',
      ...common,
      judgement: judgedName({ truth: `${6 * filter.order}`, said: slope, answerable }),
      detail: `${detail}: ${slope ?? reasons}`,
    },
    {
      what: 'filter family and order',
      ...common,
      judgement: judgedName({
        truth: `${filter.family} ${filter.order}`,
        said: name,
        accepted,
        answerable,
      }),
      detail: `${detail}: ${name ?? reasons}`,
    },
  ];
}

/** Fixed EQ within an octave and a half of a corner: a filter of another order with other EQ comes as close as one likes. */
function hasEqAround({ fixedEq }: TrueTap['tap'], cornerHz: number): boolean {
  return fixedEq.some(({ frequencyHz }) => Math.abs(Math.log2(frequencyHz / cornerHz)) < 1.5);
}

/** Whether an edge's point that would show the pair, the one of -3 or -6 dB by which they lie nearer, is withheld with its reason. */
function isWithheld(of: { low: TrueTap; high: TrueTap; findings: readonly Finding[] }): boolean {
  const band = ({ tap }: TrueTap) =>
    findingsOf(of.findings, 'band').find(({ tapIds }) => tapIds[0] === tap.id);
  const { point } = nearerPoint(of.low, of.high);
  const edges = [band(of.low)?.highEdge, band(of.high)?.lowEdge];
  return edges.some((edge) => edge && isNotMeasurable(edge[point]));
}

/** Crossovers of all pairs of taps. */
export function judgeCrossovers(
  taps: readonly TrueTap[],
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const found = findingsOf(findings, 'crossover');
  const pairs = taps.flatMap((low) => taps.filter((high) => high !== low).map((high) => ({ low, high })));
  const claims: Claim[] = [];
  const readings: Reading[] = [];
  for (const { low, high } of pairs) {
    const claim = found.find(
      ({ lowTapId, highTapId }) => lowTapId === low.tap.id && highTapId === high.tap.id,
    );
    const { gapOctaves: gap } = nearerPoint(low, high);
    const where = `${low.tap.id} ${high.tap.id}`;
    const common = { snrDb: low.factory.snrDb, where };
    const truth =
      gap < SURELY_A_PAIR_OCTAVES ? 'present' : gap > SURELY_NO_PAIR_OCTAVES ? 'absent' : 'borderline';
    claims.push({
      what: 'crossover pair',
      ...common,
      judgement: judged({
        truth,
        // Where the points of either edge are withheld, with the reason, the pair is neither claimed nor denied.
        said:
          claim !== undefined || (truth === 'present' && isWithheld({ low, high, findings }) ? null : false),
        answerable: true,
      }),
      detail: `gap ${gap.toFixed(2)} octaves, said ${JSON.stringify(claim?.frequencyHz)}`,
    });
    const corner = sameFilterHz(low, high);
    if (claim !== undefined && corner !== null)
      readings.push({
        what: 'crossover frequency',
        unit: '%',
        ...inPercent(claim.frequencyHz, corner),
        ...common,
        detail: `truth ${corner.toFixed(1)}`,
      });
  }
  return { claims, readings };
}

/** How far apart a low-passed and a high-passed tap end, by their nearer like points; infinite where they are no such pair. */
function nearerPoint(low: TrueTap, high: TrueTap): { point: 'minus3Hz' | 'minus6Hz'; gapOctaves: number } {
  const points = [
    { point: 'minus3Hz', dropDb: 3.0103 },
    { point: 'minus6Hz', dropDb: 6.0206 },
  ] as const;
  const [nearer] = points
    .map(({ point, dropDb }) => {
      const [lowEnd, highEnd] = [
        measuredEdgeHz(low, { side: 'high', dropDb }),
        measuredEdgeHz(high, { side: 'low', dropDb }),
      ];
      const gapOctaves =
        lowEnd === null || highEnd === null
          ? Number.POSITIVE_INFINITY
          : Math.abs(Math.log2(highEnd / lowEnd));
      return { point, gapOctaves };
    })
    .sort((one, other) => one.gapOctaves - other.gapOctaves);
  return nearer;
}

/** Whether a high-pass that follows the volume is there at the plateau as well. */
function climbs({ volumeDependent }: TrueTap['tap']): boolean {
  return volumeDependent.some(
    (entry) => entry.kind === 'high-pass' && Math.min(...Object.values(entry.cornerHz)) > 0,
  );
}

/** Corner of one filter split in two, where both are equally far down if neither tap has a further one or EQ; null for others. */
function sameFilterHz(low: TrueTap, high: TrueTap): number | null {
  const lower = low.tap.crossover.find(({ side }) => side === 'low-pass');
  const upper = high.tap.crossover.find(({ side }) => side === 'high-pass');
  const alone = ({ tap }: TrueTap) => tap.crossover.length === 1 && tap.fixedEq.length === 0 && !climbs(tap);
  return alone(low) &&
    alone(high) &&
    lower !== undefined &&
    lower.cornerHz === upper?.cornerHz &&
    lower.family === upper.family &&
    lower.order === upper.order
    ? lower.cornerHz
    : null;
}

/** Octaves above a frequency that a tap carries within 10 dB of its strongest. */
export function octavesCarried(truth: TrueTap, fromHz: number): number {
  let [octaves, hz] = [0, fromHz];
  for (; hz < 20_000; hz *= 2 ** (1 / 12)) if (downDb(truth, hz) < 10) octaves += 1 / 12;
  return octaves;
}
