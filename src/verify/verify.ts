import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Results } from '../model/results.ts';
import type { Session } from '../model/session.ts';
import {
  type Proof,
  VERIFICATION_VERSION,
  type Verification,
  type VerifiedFeed,
} from '../model/verification.ts';
import { asLeftVolts } from './as-left.ts';
import { clippingProof } from './clipping-proof.ts';
import { type FeedFit, fitFeed } from './feed-fit.ts';
import { levelProofs } from './level-proofs.ts';
import { noiseProof } from './noise-proof.ts';
import { chainOf, plannedFeeds } from './planned-feed.ts';
import { type Judged, polarityProofs } from './polarity-proofs.ts';
import { proof } from './proof.ts';
import { provenCurves } from './proven-curves.ts';
import { type RecordedFeed, recordedFeeds } from './recorded-feed.ts';
import { routingProof } from './routing-proof.ts';

interface VerifyInput {
  /** Results of `analyse` with the plan that was installed. */
  readonly plan: Results;
  /** Of the recordings behind the install. */
  readonly session: Session;
  readonly measurements: readonly TapMeasurement[];
  readonly notes: readonly Verification['notes'][number][];
  readonly toolVersion: string;
  readonly inputs: Verification['inputs'];
}

/**
 * Holds recordings behind the converter or the amplifier against the plan. What cannot be told is said to be so and does
 * not fail; a feed without recordings is named.
 *
 * @throws SteptoneError 'session-field' where a tap names no feed of the plan
 */
export function verify(of: VerifyInput): Verification {
  const { plan, session, measurements, notes, toolVersion, inputs } = of;
  const planned = plannedFeeds(plan);
  const recorded = recordedFeeds({ session, measurements, planned });
  const fits = new Map(recorded.map((one) => [one, fitFeed(one)]));
  const polarity = polarityProofs(
    recorded.flatMap((one): Judged[] => {
      const fit = fits.get(one);
      return fit == null ? [] : [{ recorded: one, fit }];
    }),
  );
  const feeds = recorded.map((one) =>
    verifiedFeed(one, { plan, recorded, fits, polarity: polarityOf(polarity, one) }),
  );
  return {
    format: 'steptone verification',
    version: VERIFICATION_VERSION,
    toolVersion,
    name: session.name,
    passes: feeds.every(({ proofs }) => proofs.every(({ verdict }) => verdict !== 'fail')),
    feeds,
    notRecorded: planned
      .map(({ feed }) => feed.id)
      .filter((id) => !feeds.some(({ feedId }) => feedId === id)),
    turn: knobsToTurn(feeds),
    notes: [
      ...session.notes.map((reason) => ({ file: null, reason })),
      ...notes.map(({ file, reason }) => ({ file, reason })),
    ],
    inputs: [...inputs],
  };
}

function polarityOf(polarity: ReadonlyMap<Judged, readonly Proof[]>, one: RecordedFeed): readonly Proof[] {
  return [...polarity].find(([{ recorded }]) => recorded === one)?.[1] ?? [];
}

function verifiedFeed(
  one: RecordedFeed,
  of: {
    readonly plan: VerifyInput['plan'];
    readonly recorded: readonly RecordedFeed[];
    readonly fits: ReadonlyMap<RecordedFeed, FeedFit | null>;
    readonly polarity: readonly Proof[];
  },
): VerifiedFeed {
  const fit = of.fits.get(one) ?? null;
  const converter = converterOf(one, of.recorded);
  const converterFit = converter === null ? null : (of.fits.get(converter) ?? null);
  const { feed } = one.planned;
  return {
    tapId: one.series.tap.id,
    feedId: feed.id,
    output: feed.output,
    side: feed.side,
    node: one.node,
    restoration: one.restoration,
    settings: one.series.measurements.map(({ setting }) => setting),
    proofs: [
      routingProof(one),
      ...(fit === null ? [nothingHeard()] : levelProofs(one, fit, gainDb(converterFit))),
      ...of.polarity,
      clippingProof(one, {
        highestCleanSetting: chainOf(of.plan).volume.cleanSetting,
        levelDb: gainDb(fit),
        converter,
      }),
      noiseProof(one),
    ],
    asLeft: asLeftVolts(one),
    frequencyHz: [...gridFrequencyHz],
    curves: fit === null ? [] : provenCurves(one, fit),
  };
}

/** The recording of the same feed at the converter's output, for one at the amplifier's. */
function converterOf(one: RecordedFeed, recorded: readonly RecordedFeed[]): RecordedFeed | null {
  if (one.node === 'converter output') return null;
  return (
    recorded.find(
      ({ node, planned }) => node === 'converter output' && planned.feed.id === one.planned.feed.id,
    ) ?? null
  );
}

function gainDb(fit: FeedFit | null): number | null {
  return fit?.inVolts ? fit.fit.gainDb : null;
}

function nothingHeard(): Proof {
  return proof({
    what: 'level',
    verdict: 'fail',
    knob: 'wiring',
    text: { code: 'nothing of the feed is heard' },
  });
}

/** Wiring before gains: a gain that is set over a wrong wire is set twice. */
const WORK_ORDER = [
  'wiring',
  'polarity',
  'ground',
  'converter level',
  'amplifier gain',
  'bass restoration',
  'high-pass',
  'low-pass',
  'equalizer or bass control',
  'delay',
] as const;

function knobsToTurn(feeds: readonly VerifiedFeed[]): Verification['turn'] {
  // Where a side misses its own target volts, that is what to turn, not the other side.
  const offTarget = feeds
    .filter(({ proofs }) => proofs.some(({ what, verdict }) => what === 'level' && verdict === 'fail'))
    .map(({ output }) => output);
  const failing = feeds.flatMap(({ feedId, output, proofs }) =>
    proofs
      .filter(
        ({ what, unit }) => what !== 'left against right' || unit !== 'dB' || !offTarget.includes(output),
      )
      .flatMap(({ verdict, knob, text }) =>
        verdict === 'fail' && knob !== null ? [{ feedId, knob, text }] : [],
      ),
  );
  return failing
    .filter(
      (item, i) =>
        failing.findIndex(({ feedId, knob }) => feedId === item.feedId && knob === item.knob) === i,
    )
    .sort((a, b) => WORK_ORDER.indexOf(a.knob) - WORK_ORDER.indexOf(b.knob));
}
