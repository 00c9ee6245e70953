import { mean } from '../../dsp/statistics.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import {
  type BassCurve,
  fitMovingHighPass,
  type HighPassModel,
  highPassDb,
  shelfOfCorners,
} from './bass-fit.ts';
import type { BassLevel } from './bass-levels.ts';
import { commonBand, trustedPoints } from './level-profile.ts';
import { DEEPEST_SHELF_DB, fitShelves } from './shelf-fit.ts';

type BassShape = NonNullable<FindingOf<'bass-change'>['shape']>;

/** The fit runs over these frequencies where they are trusted; the sweep fades in below. */
const FIT_HZ = [14, 700] as const;
/** Every sixth grid point: their noise is independent (`noiseCorrelation` is below 0.1). */
const POINT_STRIDE = 6;
const FEWEST_POINTS = 10;
/** A shape is asked for where the loss exceeds this. */
const SHAPED_LOSS_DB = 1;
/**
 * What a model may be out by at every point without noise: real filters are not quite their prototypes (common practice), and
 * a swept response is smoothed. Models that lie closer together than this in the bass are not told apart, however quiet it is.
 */
const SYSTEMATIC_DB = 0.05;
/** A model fits while its errors are within this many standard deviations, root mean square. */
const FITS = 1.6;
/** One model is named when the other explains the data worse by this: 5 standard deviations. */
const CLEARLY_WORSE = 25;
/** A base corner is possible while the radio without it would not be lifted by more than this over its bass. */
const LIFT_WITHOUT_BASE_DB = 3;

const HIGH_PASSES: readonly HighPassModel[] = [
  { family: 'butterworth', order: 1 },
  { family: 'butterworth', order: 2 },
  { family: 'butterworth', order: 3 },
  { family: 'butterworth', order: 4 },
  { family: 'linkwitz-riley', order: 2 },
  { family: 'linkwitz-riley', order: 4 },
];

/**
 * Whether the loss is a shelf of growing depth or a high-pass whose corner climbs, from the magnitude of each changed
 * setting over the plateau's. The quotient of two high-passes of order 1, or of order 2, is a shelf exactly (of order 1, or
 * of Q 0.707), so a high-pass counts only if the plateau's own response leaves room for its base corner. Null where
 * neither fits.
 */
export function findBassShape(of: {
  plateau: readonly BassLevel[];
  changed: readonly BassLevel[];
}): BassShape | null {
  const curves = of.changed
    .map((level) => bassCurve(level, of.plateau))
    .filter(({ changeDb }) => changeDb.length >= FEWEST_POINTS && Math.min(...changeDb) < -SHAPED_LOSS_DB);
  if (curves.length === 0) return null;
  const count = curves.reduce((sum, { changeDb }) => sum + changeDb.length, 0);
  const fits = ({ sumOfSquares }: Fit) => Math.sqrt(sumOfSquares / count) <= FITS;
  const shelf = lowest([orderOneShelves(curves), fitShelves(curves)].filter(hasBottom));
  const highPass = lowest(
    HIGH_PASSES.flatMap((model) => [
      { model, ...fitMovingHighPass({ curves, model, base: 'none' }) },
      { model, ...fitMovingHighPass({ curves, model, base: 'shared' }) },
    ]).filter(({ model, corners: [{ fromHz }] }) => fromHz === null || leavesRoom(of.plateau, model, fromHz)),
  );
  const shelfAdvantage = sumOf(highPass) - sumOf(shelf);
  const shelfFits = shelf !== null && fits(shelf) && shelfAdvantage > -CLEARLY_WORSE;
  const highPassFits = highPass !== null && fits(highPass) && shelfAdvantage < CLEARLY_WORSE;
  if (!shelfFits && !highPassFits) return null;
  return {
    model: shelfFits && highPassFits ? 'shelf or high-pass' : shelfFits ? 'shelf' : 'high-pass',
    perSetting: curves.map(({ setting }, i) => ({
      setting,
      shelf: shelfFits ? shelf.shelves[i] : null,
      highPass: highPassFits ? { ...highPass.model, ...highPass.corners[i] } : null,
    })),
    reason: reasonFor({ shelfFits, highPassFits }),
  };
}

interface Fit {
  readonly sumOfSquares: number;
}

interface Shelves extends Fit {
  /** One for each setting; `q` where they are of order 2. */
  readonly shelves: readonly { readonly frequencyHz: number; readonly gainDb: number; readonly q?: number }[];
}

function orderOneShelves(curves: readonly BassCurve[]): Shelves {
  const model = { family: 'butterworth', order: 1 } as const;
  const { sumOfSquares, corners } = fitMovingHighPass({ curves, model, base: 'each' });
  return {
    sumOfSquares,
    shelves: corners.map(({ fromHz, cornerHz }) =>
      shelfOfCorners(model.order, { fromHz: fromHz ?? cornerHz, cornerHz }),
    ),
  };
}

function hasBottom({ shelves }: Shelves): boolean {
  return shelves.every(({ gainDb }) => gainDb > DEEPEST_SHELF_DB);
}

/** A model that is not there explains nothing. */
function sumOf(fit: Fit | null): number {
  return fit?.sumOfSquares ?? Number.MAX_VALUE;
}

function lowest<Candidate extends Fit>(candidates: readonly Candidate[]): Candidate | null {
  return candidates.reduce<Candidate | null>(
    (best, candidate) => (best === null || candidate.sumOfSquares < best.sumOfSquares ? candidate : best),
    null,
  );
}

function bassCurve(level: BassLevel, plateau: readonly BassLevel[]): BassCurve {
  const band = plateau.reduce(
    (common, { levels }) => commonBand(common, levels.profile.trustedHz),
    level.levels.profile.trustedHz,
  );
  const points = trustedPoints({ ...level.levels.profile, trustedHz: band }, FIT_HZ).filter(
    (_, i) => i % POINT_STRIDE === 0,
  );
  const relative = ({ levels, middle }: BassLevel, i: number) => levels.profile.levelDb[i] - middle.value;
  return {
    setting: level.setting,
    frequencyHz: Float64Array.from(points, (i) => gridFrequencyHz[i]),
    changeDb: Float64Array.from(
      points,
      (i) => relative(level, i) - mean(plateau.map((one) => relative(one, i))),
    ),
    sigmaDb: Float64Array.from(points, (i) => {
      const reference =
        Math.hypot(...plateau.map(({ levels }) => levels.profile.sigmaDb[i])) / plateau.length;
      return Math.hypot(level.levels.profile.sigmaDb[i], reference, SYSTEMATIC_DB);
    }),
  };
}

/** Whether the plateau's response could contain a high-pass at this corner: dividing it out must not leave a lift. */
function leavesRoom(plateau: readonly BassLevel[], model: HighPassModel, cornerHz: number): boolean {
  const divided = highPassDb(model, cornerHz, gridFrequencyHz);
  return plateau.some(({ levels: { profile }, middle }) => {
    const points = trustedPoints(profile, FIT_HZ);
    const upperBass = points.filter(
      (i) => gridFrequencyHz[i] > 2 * cornerHz && gridFrequencyHz[i] < 8 * cornerHz,
    );
    const usual = Math.max(...upperBass.map((i) => profile.levelDb[i]), middle.value);
    return points.every(
      (i) => profile.levelDb[i] - divided[i] <= usual + LIFT_WITHOUT_BASE_DB + 3 * profile.sigmaDb[i],
    );
  });
}

function reasonFor({ shelfFits, highPassFits }: { shelfFits: boolean; highPassFits: boolean }): Reason {
  if (shelfFits && highPassFits) return { code: 'shelf and high-pass both fit' };
  return { code: shelfFits ? 'shelf fits alone' : 'high-pass fits alone' };
}
