import { tapSeries } from '../../src/findings/tap-series.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { TapMeasurement } from '../../src/model/measurement.ts';
import type { FeedFit, FitRow } from '../../src/verify/feed-fit.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import type { RecordedFeed } from '../../src/verify/recorded-feed.ts';
import { type ExactTap, exactResponse } from '../findings/exact-responses.ts';
import { sessionOf, tapOf } from '../findings/synthetic.ts';

/** Recordings behind an install that are written down as formulas: no sound is made. */

const N = gridFrequencyHz.length;
const FLAT = new Float64Array(N);

export interface ExactRecording {
  readonly left?: ExactTap | null;
  readonly right?: ExactTap | null;
  readonly setting?: number;
  readonly volts?: number | null;
  readonly timeOrigin?: string | undefined;
  readonly trustedHz?: readonly [number, number] | null;
  readonly more?: Partial<TapMeasurement>;
}

export function recording(of: ExactRecording): TapMeasurement {
  const { setting = 20, trustedHz = [12, 19_500], volts = 1 } = of;
  const side = (tap: ExactTap | null | undefined) => ({
    ...(tap == null ? { real: new Float64Array(N), imag: new Float64Array(N) } : exactResponse(tap)),
    sigma: new Float64Array(N).fill(1e-7),
    trustedHz: tap == null ? null : trustedHz,
  });
  return {
    tapId: 'tap',
    setting,
    evidence: [{ file: 'tap.wav', channel: 1, setting, takeStartSeconds: 0 }],
    timeOrigin: of.timeOrigin ?? 'one file',
    left: side(of.left === undefined ? {} : of.left),
    right: side(of.right),
    bothLowDrive: null,
    ladders: [],
    noise: null,
    recorder: { peakDbFs: -10, clippedRuns: 0, dcOffset: 0, clockPpm: 0 },
    voltsPerFullScale: volts === null ? null : { volts, relativeUncertainty: 0.01 },
    supplyVolts: null,
    repeats: { count: 1, spreadDb: 0 },
    ...of.more,
  };
}

/** A feed planned flat at 1 V for every setting, but for what is given. */
export function plannedFeed(part: Partial<Omit<PlannedFeed, 'feed'>> & { feed?: object } = {}): PlannedFeed {
  return {
    volts: () => new Float64Array(N).fill(1),
    spectrum: () => ({ real: new Float64Array(N).fill(1), imag: FLAT, timeOrigin: 'plan' }),
    boostDb: () => FLAT,
    restores: false,
    gain: () => 1,
    target: () => null,
    tolerancePercent: 5,
    relativePlusMinus: 0.01,
    filters: [],
    amplifier: null,
    inverted: false,
    ...part,
    feed: { id: 'feed-front-left', output: 'front', side: 'left', taps: [], ...part.feed },
  } as unknown as PlannedFeed;
}

export function recordedFeed(of: {
  planned?: PlannedFeed;
  measurements?: readonly TapMeasurement[];
  node?: RecordedFeed['node'] | undefined;
  restoration?: RecordedFeed['restoration'];
}): RecordedFeed {
  const tap = tapOf({ id: 'tap' });
  const [series] = tapSeries({ session: sessionOf([tap]), measurements: of.measurements ?? [recording({})] });
  return {
    planned: of.planned ?? plannedFeed(),
    series,
    node: of.node ?? 'amplifier output',
    restoration: of.restoration ?? 'none',
  };
}

/** As planned in everything, at every fourth point from 25 Hz to 15 kHz. */
export function fitOf(part: Partial<FeedFit['fit']> = {}, rows?: readonly Partial<FitRow>[]): FeedFit {
  const points = [...gridFrequencyHz.keys()].filter(
    (i) => i % 4 === 0 && gridFrequencyHz[i] >= 25 && gridFrequencyHz[i] <= 15_000,
  );
  const zeros = points.map(() => 0);
  const row = { setting: 20, points, differenceDb: zeros, boostDb: zeros, remainsDb: zeros };
  return {
    rows: (rows ?? [{}]).map((one) => ({ ...row, ...one })),
    fit: { gainDb: 0, restorationShare: null, filters: [], residualDb: 0, ...part },
    inVolts: true,
    misconnected: null,
  };
}

export function pointAt(hz: number): number {
  return gridFrequencyHz.findIndex((one) => one >= hz * 0.9999);
}
