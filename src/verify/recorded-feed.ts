import { modulus } from '../dsp/modulus.ts';
import { levelProfile, trustedPoints } from '../findings/bass/level-profile.ts';
import { type TapSeries, tapSeries } from '../findings/tap-series.ts';
import type { Output } from '../model/equipment.ts';
import { SteptoneError } from '../model/errors.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { wordHint } from '../model/nearest-word.ts';
import type { Position, Session, Tap } from '../model/session.ts';
import { programmeSpectrum } from '../recommend/feeds/predict-sum.ts';
import type { Node, PlannedFeed } from './planned-feed.ts';

/** A recording behind the install, beside the feed of the plan that it shows. */
export interface RecordedFeed {
  readonly planned: PlannedFeed;
  readonly series: TapSeries;
  readonly node: Node;
  readonly restoration: 'on' | 'off' | 'none';
}

const POSITION_OUTPUTS: Partial<Record<Position, Output>> = {
  front: 'front',
  dash: 'front',
  door: 'front',
  rear: 'rear',
  centre: 'centre',
  subwoofer: 'subwoofer',
};
const LINE_WORDS = ['converter', 'line'];

/**
 * Which recording shows which feed of the plan, as the session says or by the names of the taps.
 *
 * @throws SteptoneError 'session-field' for a feed that the plan does not have, or a tap whose name tells none
 */
export function recordedFeeds(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  planned: readonly PlannedFeed[];
}): RecordedFeed[] {
  return tapSeries(of).map((series): RecordedFeed => {
    const planned = feedFor(series.tap, of.planned);
    return {
      planned,
      series,
      node: series.tap.verifies?.node ?? nodeByName(series.tap),
      restoration: planned.restores ? (series.tap.verifies?.restoration ?? 'on') : 'none',
    };
  });
}

/**
 * Refuses a session that names what the plan does not have, before anything of its recordings is read.
 *
 * @throws SteptoneError as `recordedFeeds` does
 */
export function refuseUnplanned(session: Session, planned: readonly PlannedFeed[]): void {
  const recorded = new Set(
    session.recordings.flatMap(({ kind, channels }) => (kind === 'takes' ? channels : [])),
  );
  for (const tap of session.taps) if (recorded.has(tap.id)) feedFor(tap, planned);
}

function feedFor(tap: Tap, planned: readonly PlannedFeed[]): PlannedFeed {
  const words = planned.map(({ feed }) => feed.id);
  const written = tap.verifies?.feed;
  const output = POSITION_OUTPUTS[tap.position];
  const found = planned.find(({ feed }) =>
    written === undefined
      ? feed.output === output && (feed.side === tap.side || feed.side === 'both')
      : feed.id === written,
  );
  if (found !== undefined) return found;
  throw new SteptoneError({
    code: 'session-field',
    expected: `a feed of the plan (${words.join(', ')})`,
    found: written === undefined ? 'a tap with another name' : `'${written}'`,
    where: `taps, ${tap.id}, verifies`,
    nextStep:
      written === undefined
        ? `add verifies to the tap, such as { id: ${tap.id}, verifies: ${words[0]} }`
        : wordHint({ written, words }),
  });
}

function nodeByName({ id }: Tap): Node {
  const words = id.toLowerCase().split(/[^a-z]+/);
  return words.some((word) => LINE_WORDS.includes(word)) ? 'converter output' : 'amplifier output';
}

/** Level on the frequency grid for programme on both sides alike; volts where calibrated, else full-scale units. */
export function recordedLevel(measurement: TapMeasurement): Float64Array {
  const { real, imag } = programmeSpectrum(measurement, 'both');
  const scale = measurement.voltsPerFullScale?.volts ?? 1;
  return real.map((re, i) => scale * modulus(re, imag[i]));
}

/** Grid points at which the stronger side of the recording is trusted, within a band. */
export function trustedIn(measurement: TapMeasurement, bandHz: readonly [number, number]): number[] {
  const points = [measurement.left, measurement.right].map((side) =>
    trustedPoints(levelProfile(side), bandHz),
  );
  return points.reduce((most, one) => (one.length > most.length ? one : most));
}
