import { filterInPlace, toBiquads } from '../dsp/biquad.ts';
import { decibels, ratioOf } from '../dsp/decibels.ts';
import { prototypeSections } from '../dsp/filter-prototype.ts';
import { meanSquare } from '../dsp/statistics.ts';
import { SteptoneError } from '../model/errors.ts';
import { gridFrequencyHz, gridSpan, MIDDLE_HZ, valueAt } from '../model/frequency-grid.ts';
import { fromRecord } from '../model/measurement-record.ts';
import { wordHint } from '../model/nearest-word.ts';
import { recommendationsOf } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import { restorationPlan } from '../recommend/bass/restoration.ts';
import { feedLevel } from '../recommend/chain/tap-level.ts';
import type { Feed } from '../recommend/feeds/feed.ts';
import { middleLevelDb } from '../recommend/feeds/flatness.ts';
import { planContext } from '../recommend/plan-context.ts';
import { convolved } from './convolve.ts';
import { minimumPhase } from './minimum-phase.ts';

/** Where the ear takes its reference from; matched, so that no clip wins by being louder. */
const MATCHED_HZ = MIDDLE_HZ;
/** Peaks end here: what a player adds by resampling still fits. */
export const PEAK_DBFS = -3;
/** Nothing is filtered deeper or higher than this against the mid band. */
const MOST_DB = 40;
/** A feed with less of the mid band is no music by itself. */
const NO_MID_BAND_DB = 20;

interface Clip {
  readonly name: string;
  readonly setting: number;
  /** With the planned restoration. */
  readonly restored: boolean;
  readonly left: Float64Array;
  readonly right: Float64Array;
}

interface Clips {
  readonly feedId: string;
  readonly clips: readonly Clip[];
  /** What restoration adds in the restored clip, at 50 Hz; 0 where none is planned and the clip is left out. */
  readonly restoredDb: number;
}

/**
 * What a customer hears of the bass: programme as a feed gives it at a quiet setting, at the highest clean one, and there
 * again with the planned restoration. Same loudness in the mid band, so that only the bass differs; the clips share one
 * scale, and the highest peak of all is at PEAK_DBFS.
 *
 * @param programme left and right, of one length
 * @param feedId a feed of the plan; the subwoofer's where it reaches the mid band, else the first
 * @throws SteptoneError 'usage' for a feed that the plan does not have, or a plan without feeds
 */
export function beforeAndAfterClips({
  results,
  programme,
  sampleRateHz,
  feedId,
}: {
  results: Results;
  programme: readonly [ArrayLike<number>, ArrayLike<number>];
  sampleRateHz: number;
  feedId?: string;
}): Clips {
  const { session, findings, recommendations } = results;
  const context = planContext({
    session,
    measurements: results.measurements.map(fromRecord),
    findings,
    equipment: session.equipment,
  });
  const levelDb = (feed: Feed, setting: number) =>
    feedLevel(context, feed.taps, setting)?.level.map((value) => decibels(value + 1e-10)) ?? null;
  const feed = chosenFeed(recommendationsOf(recommendations, 'feed'), feedId, (one) => {
    const level = levelDb(one, one.setting);
    return level !== null && valueAt(level, 1000) > Math.max(...level) - NO_MID_BAND_DB;
  });
  const [clean] = recommendationsOf(recommendations, 'highest-clean-setting');
  const loud = clean?.recorded ?? session.settings[session.settings.length - 1];
  const quiet = Math.min(feed.setting, loud);
  const restoring = clean === undefined ? null : restorationPlan(context, feed, clean);
  const boost = restoring?.boostDb(loud) ?? new Float64Array(gridFrequencyHz.length);
  const asFactory = levelDb(feed, loud)!;
  const wanted = [
    { name: '1-quiet', setting: quiet, restored: false, db: levelDb(feed, quiet)! },
    { name: '2-loud-factory', setting: loud, restored: false, db: asFactory },
    {
      name: '3-loud-restored',
      setting: loud,
      restored: true,
      db: asFactory.map((db, i) => db + boost[i]),
    },
  ];
  const restoredDb = valueAt(boost, 50);
  const kept = restoring?.recommendation.verdict === 'restore' ? wanted : wanted.slice(0, 2);
  const clips = kept.map(({ db, ...clip }) => {
    const impulse = minimumPhase({ levelDb: againstMidBand(db), sampleRateHz });
    const [left, right] = programme.map((side) => convolved(side, impulse));
    return matched({ ...clip, left, right }, sampleRateHz);
  });
  return {
    feedId: feed.id,
    clips: onOneScale(clips),
    restoredDb: kept.length === wanted.length ? restoredDb : 0,
  };
}

function chosenFeed(
  feeds: readonly Feed[],
  feedId: string | undefined,
  isMusic: (feed: Feed) => boolean,
): Feed {
  const words = feeds.map(({ id }) => id);
  const bySubwoofer = [...feeds].sort(
    (a, b) => Number(b.output === 'subwoofer') - Number(a.output === 'subwoofer'),
  );
  const feed =
    feedId === undefined ? (bySubwoofer.find(isMusic) ?? feeds[0]) : feeds.find(({ id }) => id === feedId);
  if (feed !== undefined) return feed;
  throw new SteptoneError({
    code: 'usage',
    expected:
      words.length === 0 ? 'results with at least one feed' : `a feed of the plan (${words.join(', ')})`,
    found: feedId === undefined ? 'none' : `'${feedId}'`,
    where: '--feed',
    nextStep:
      words.length === 0 || feedId === undefined
        ? 'analyse recordings of at least one usable output'
        : wordHint({ written: feedId, words }),
  });
}

function againstMidBand(levelDb: Float64Array): Float64Array {
  const middle = middleLevelDb(levelDb, gridSpan(MATCHED_HZ));
  return levelDb.map((db) => Math.max(-MOST_DB, Math.min(MOST_DB, db - middle)));
}

/** RMS of the mid band brought to 1. */
function matched(clip: Clip, sampleRateHz: number): Clip {
  const power = [clip.left, clip.right].reduce((sum, side) => sum + midBandPower(side, sampleRateHz), 0);
  const gain = power > 0 ? 1 / Math.sqrt(power / 2) : 1;
  return {
    ...clip,
    left: clip.left.map((value) => value * gain),
    right: clip.right.map((value) => value * gain),
  };
}

/** Mean square from 300 Hz to 3 kHz; steep enough at its ends that the bass in question does not leak in. */
function midBandPower(samples: Float64Array, sampleRateHz: number): number {
  const inBand = samples.slice();
  for (const [side, cornerHz] of [
    ['high-pass', MATCHED_HZ[0]],
    ['low-pass', MATCHED_HZ[1]],
  ] as const) {
    const sections = prototypeSections({ family: 'butterworth', order: 8, side });
    filterInPlace(inBand, toBiquads(sections, { cornerHz, sampleRateHz }));
  }
  return meanSquare(inBand);
}

function onOneScale(clips: readonly Clip[]): Clip[] {
  const peak = clips
    .flatMap(({ left, right }) => [left, right])
    .reduce((most, side) => side.reduce((top, value) => Math.max(top, Math.abs(value)), most), 0);
  const gain = peak > 0 ? ratioOf(PEAK_DBFS) / peak : 1;
  return clips.map((clip) => ({
    ...clip,
    left: clip.left.map((value) => value * gain),
    right: clip.right.map((value) => value * gain),
  }));
}
