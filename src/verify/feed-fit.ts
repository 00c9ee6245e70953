import { decibels } from '../dsp/decibels.ts';
import { modulus } from '../dsp/modulus.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { FeedTap } from '../model/recommendation.ts';
import { type ChainData, type ChainFit, filterResponse, fitChain } from './chain-fit.ts';
import type { PlannedFeed } from './planned-feed.ts';
import { type RecordedFeed, recordedLevel, trustedIn } from './recorded-feed.ts';

/** What is judged (as `FULL_RANGE_HZ` of the sums, and the octave of a subwoofer's lowest notes). */
const JUDGED_HZ = [25, 15_000] as const;
/** Where the planned feed is further down than this, it is a stop band. */
const STOP_BAND_DB = 15;
/** Every fourth point of the grid: about as many as a swept response has independent values. */
const POINT_STEP = 4;
/** A wrong connection is named where it leaves this share of what the right one cannot explain, and that is audible. */
const EXPLAINS_SHARE = 0.5;
const UNEXPLAINED_DB = 1;

/** Measured against planned, over all settings of a recording, with the knobs that explain the difference. */
export interface FeedFit {
  readonly rows: readonly FitRow[];
  readonly fit: ChainFit;
  /** Whether the gain of the fit is in volts over planned volts. */
  readonly inVolts: boolean;
  /** The tap that is connected otherwise than planned; null where none is. */
  readonly misconnected: { readonly tapId: string; readonly how: 'inverted' | 'missing' } | null;
}

export interface FitRow extends ChainData {
  readonly setting: number;
  /** What no knob explains, but with what restoration leaves missing: as heard. */
  readonly remainsDb: readonly number[];
}

/** Null where nothing of the feed is trusted in the recording. */
export function fitFeed(recorded: RecordedFeed): FeedFit | null {
  const { planned, node, series } = recorded;
  const filters = node === 'amplifier output' ? planned.filters : [];
  const gain = planned.gain(node);
  const inVolts =
    gain !== null && series.measurements.every(({ voltsPerFullScale }) => voltsPerFullScale !== null);
  const asPlanned = dataOf(recorded, null);
  if (asPlanned.length === 0) return null;
  let chosen: { data: Row[]; fit: ChainFit; misconnected: FeedFit['misconnected'] } = {
    data: asPlanned,
    fit: fitChain(asPlanned, filters),
    misconnected: null,
  };
  if (chosen.fit.residualDb > UNEXPLAINED_DB) {
    const limit = chosen.fit.residualDb * EXPLAINS_SHARE;
    for (const { taps, ...misconnected } of otherConnections(planned)) {
      const data = dataOf(recorded, taps);
      if (data.length === 0) continue;
      const fit = fitChain(data, filters);
      if (fit.residualDb < Math.min(limit, chosen.fit.residualDb)) chosen = { data, fit, misconnected };
    }
  }
  const { fit, misconnected } = chosen;
  const loss = filterLossDb(fit, filters);
  const rows = chosen.data.map((row) => ({
    ...row,
    remainsDb: row.differenceDb.map((db, j) => db - fit.gainDb - loss[row.points[j]]),
  }));
  return { rows, fit, inVolts, misconnected };
}

/** Of fitted filters, on the frequency grid. */
export function filterLossDb(
  { filters: fitted }: Pick<ChainFit, 'filters'>,
  planned: Parameters<typeof filterResponse>[1],
): Float64Array {
  const { real, imag } = filterResponse(fitted, planned);
  return real.map((re, i) => decibels(modulus(re, imag[i]) + 1e-15));
}

type Row = Omit<FitRow, 'remainsDb'>;

function dataOf(recorded: RecordedFeed, otherTaps: readonly FeedTap[] | null): Row[] {
  const { planned, node, restoration, series } = recorded;
  const gain = planned.gain(node) ?? 1;
  const filters = node === 'amplifier output' ? planned.filters : [];
  const nominal = filterLossDb(
    { filters: filters.map(({ cornerHz }) => ({ family: 'butterworth' as const, cornerHz })) },
    filters,
  );
  return series.measurements.flatMap((measurement) => {
    const { setting } = measurement;
    const volts = planned.volts(setting);
    const change = otherTaps === null ? null : changeDb(planned, otherTaps, setting);
    if (volts === null || (otherTaps !== null && change === null)) return [];
    const boost = planned.boostDb(setting);
    const plannedDb = volts.map((value, i) => flooredDb(value * gain) + (change?.[i] ?? 0));
    const atNode = plannedDb.map((db, i) => db + nominal[i]);
    const level = recordedLevel(measurement);
    const within = trustedIn(measurement, JUDGED_HZ);
    const strongest = Math.max(...within.map((i) => atNode[i]));
    const points = within.filter((i) => i % POINT_STEP === 0 && atNode[i] > strongest - STOP_BAND_DB);
    if (points.length === 0) return [];
    const boostDb = points.map((i) => (restoration === 'on' ? boost[i] : 0));
    const differenceDb = points.map((i, j) => flooredDb(level[i]) - plannedDb[i] - boostDb[j]);
    return [{ setting, points, differenceDb, boostDb }];
  });
}

/** How the sum differs with its taps connected otherwise; null where timing is not known. */
function changeDb(planned: PlannedFeed, taps: readonly FeedTap[], setting: number): Float64Array | null {
  const [right, other] = [planned.spectrum(setting, 'both'), planned.spectrum(setting, 'both', taps)];
  if (right === null || other === null) return null;
  return right.real.map(
    (re, i) => flooredDb(modulus(other.real[i], other.imag[i])) - flooredDb(modulus(re, right.imag[i])),
  );
}

function otherConnections(
  planned: PlannedFeed,
): { tapId: string; how: 'inverted' | 'missing'; taps: FeedTap[] }[] {
  const { taps } = planned.feed;
  if (taps.length < 2) return [];
  return taps.flatMap(({ tapId }) => [
    {
      tapId,
      how: 'inverted' as const,
      taps: taps.map((tap) =>
        tap.tapId === tapId
          ? { ...tap, polarity: tap.polarity === 'inverted' ? ('as wired' as const) : ('inverted' as const) }
          : tap,
      ),
    },
    // Turned down to nothing rather than taken out of the list, so that the sum keeps its units and time zero.
    {
      tapId,
      how: 'missing' as const,
      taps: taps.map((tap) => (tap.tapId === tapId ? { ...tap, trimDb: Number.NEGATIVE_INFINITY } : tap)),
    },
  ]);
}

function flooredDb(value: number): number {
  return decibels(value + 1e-12);
}

/** Frequency of a point of the grid. */
export function hzAt(point: number): number {
  return gridFrequencyHz[point];
}
