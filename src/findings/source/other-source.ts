import { mean } from '../../dsp/statistics.ts';
import type { MeasuredSource } from '../../measure/other-sources.ts';
import type { TakeFacts } from '../../model/check.ts';
import { type Doubt, touches } from '../../model/doubt.ts';
import { type Finding, type FindingOf, findingsOf } from '../../model/finding.ts';
import { gridFrequencyHz, MIDDLE_HZ } from '../../model/frequency-grid.ts';
import { isNotMeasurable, type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { TapMeasurement } from '../../model/measurement.ts';
import { codeOf, type Reason, type ReasonCode } from '../../model/reason.ts';
import { isWithin } from '../../model/response.ts';
import { carriedResponse } from '../band/carried-response.ts';
import { findCommonCeiling, SAME_EDGE_OCTAVES } from '../band/common-ceiling.ts';
import {
  FEWEST_MIDDLE_POINTS,
  type LevelProfile,
  levelAround,
  levelProfile,
  meanLevel,
} from '../bass/level-profile.ts';
import { COVERAGE } from '../coverage.ts';
import { allEvidence, tapSeries } from '../tap-series.ts';
import { ownClip } from './own-clip.ts';

type OtherSource = FindingOf<'other-source'>;

/** Where an output has no middle: within this of its strongest. */
const BAND_DB = 6;
/** Two takes of one source at one setting agree within a tenth of this; a tone control's least step is 1 dB and more (common practice). */
const TONE_DB = 1;
const TONE_AT_HZ = [40, 63, 100, 160, 250, 4000, 6300, 10_000, 14_000] as const;
/** A codec's edge begins this far below its ceiling (`common-ceiling.ts`), averaged over a sixth of an octave. */
const CLEAR_OF_CEILING_OCTAVES = 0.25;
/** As `check` judges it: a recorder or player that moves the level by itself does so by more. */
const MOVES_DB = 0.5;

/** What a source does by itself, so that these remarks on its takes are the answer and take nothing from it. */
const OWN_DOING: readonly ReasonCode[] = [
  'gain changed within the take',
  'gain follows the level',
  'tone does not follow the sweeps',
];

/** The radio played from the session's own source. */
export interface OwnSource {
  readonly source: string;
  readonly measurements: readonly TapMeasurement[];
  readonly facts: readonly TakeFacts[];
  readonly doubts: readonly Doubt[];
  readonly findings: readonly Finding[];
}

/** Every other source held against the session's own, output by output at the same setting. */
export function findOtherSources(own: OwnSource, others: readonly MeasuredSource[]): OtherSource[] {
  return others.map((other): OtherSource => {
    const { pairs, reason } = pairsOf(own, other);
    const compared = pairs.length > 0 ? pairs : null;
    const { measurements } = other.measured;
    const levelDb = reason === null ? levelOf(pairs) : notMeasurable(reason);
    const ceilingHz = reason === null ? lowerCeiling(own, other) : null;
    return {
      kind: 'other-source',
      id: `other-source:${other.source}`,
      tapIds: [...new Set((compared?.map(({ theirs }) => theirs) ?? measurements).map(({ tapId }) => tapId))],
      evidence: allEvidence(compared?.flatMap(({ mine, theirs }) => [mine, theirs]) ?? measurements),
      source: other.source,
      comparedWith: own.source,
      settings: [...new Set(pairs.map(({ mine }) => mine.setting))].sort((a, b) => a - b),
      levelDb,
      ceilingHz,
      tone: isNotMeasurable(levelDb) ? null : toneOf(pairs, { levelDb: levelDb.value, ceilingHz }),
      movesDb: reason === null ? movesBy(own.facts, other.measured.facts) : null,
      clip: isNotMeasurable(levelDb)
        ? null
        : ownClip({ findings: own.findings, other, levelDb: levelDb.value }),
    };
  });
}

interface Pair {
  readonly mine: TapMeasurement;
  readonly theirs: TapMeasurement;
  readonly before: LevelProfile;
  readonly after: LevelProfile;
}

/** Takes of one output at one setting from both sources; the reason where there are none. */
function pairsOf(
  own: OwnSource,
  { measured: theirs }: MeasuredSource,
): { pairs: Pair[]; reason: Reason | null } {
  const doubted = (doubts: readonly Doubt[], one: TapMeasurement) =>
    doubts.find((doubt) => touches(doubt, one));
  const hard = theirs.doubts.filter(({ reason }) => !OWN_DOING.includes(codeOf(reason) ?? 'no whole track'));
  const usable = theirs.measurements.filter((one) => doubted(hard, one) === undefined);
  const mine = own.measurements.filter((one) => doubted(own.doubts, one) === undefined);
  const pairs = usable.flatMap((one) => {
    const other = mine.find(({ tapId, setting }) => tapId === one.tapId && setting === one.setting);
    if (other === undefined) return [];
    const carries = findingsOf(own.findings, 'routing').find(
      ({ tapIds }) => tapIds[0] === one.tapId,
    )?.carries;
    if (carries === undefined || carries === 'nothing') return [];
    const profile = (of: TapMeasurement) => levelProfile(carriedResponse(of, carries));
    return [{ mine: other, theirs: one, before: profile(other), after: profile(one) }];
  });
  if (pairs.length > 0) return { pairs, reason: null };
  const doubt = theirs.measurements.flatMap((one) => doubted(hard, one) ?? [])[0];
  const settings = [...new Set(theirs.measurements.map(({ setting }) => setting))];
  return {
    pairs,
    reason:
      usable.length === 0 && doubt !== undefined ? doubt.reason : { code: 'no take beside it', settings },
  };
}

/** Louder is positive; what settings and outputs differ by stands in the uncertainty. */
function levelOf(pairs: readonly Pair[]): MeasuredOrReason {
  const each = pairs.flatMap(({ before, after }) => {
    const points = pointsOf(before, after);
    if (points.length < FEWEST_MIDDLE_POINTS) return [];
    const [one, other] = [meanLevel(before, points), meanLevel(after, points)];
    return [{ value: other.value - one.value, plusMinus: COVERAGE * Math.hypot(one.sigma, other.sigma) }];
  });
  if (each.length === 0) return notMeasurable({ code: 'nothing clear of the noise' });
  const values = each.map(({ value }) => value).sort((a, b) => a - b);
  const half = values.length >> 1;
  const value = values.length % 2 === 1 ? values[half] : (values[half - 1] + values[half]) / 2;
  const spread = Math.max(...values.map((one) => Math.abs(one - value)));
  return measured({ value, plusMinus: Math.max(spread, ...each.map(({ plusMinus }) => plusMinus)) });
}

function pointsOf(one: LevelProfile, other: LevelProfile): number[] {
  const { trustedHz } = one;
  const theirs = other.trustedHz;
  if (trustedHz === null || theirs === null) return [];
  const all = Array.from(gridFrequencyHz.keys()).filter(
    (i) => isWithin(trustedHz, gridFrequencyHz[i]) && isWithin(theirs, gridFrequencyHz[i]),
  );
  const strongest = Math.max(...all.map((i) => one.levelDb[i]));
  const band = all.filter((i) => one.levelDb[i] > strongest - BAND_DB);
  const middle = band.filter((i) => isWithin(MIDDLE_HZ, gridFrequencyHz[i]));
  return middle.length >= FEWEST_MIDDLE_POINTS ? middle : band;
}

/** Where its tone differs most, beside the level; null where it does not by as much as a tone control makes. */
function toneOf(
  pairs: readonly Pair[],
  { levelDb, ceilingHz }: { levelDb: number; ceilingHz: number | null },
): OtherSource['tone'] {
  const upToHz = (ceilingHz ?? Number.POSITIVE_INFINITY) / 2 ** CLEAR_OF_CEILING_OCTAVES;
  const each = TONE_AT_HZ.filter((hz) => hz < upToHz).flatMap((frequencyHz) => {
    const differences = pairs.flatMap(({ before, after }) => {
      const [one, other] = [levelAround(before, frequencyHz), levelAround(after, frequencyHz)];
      return one === null || other === null ? [] : [other.value - one.value - levelDb];
    });
    if (differences.length === 0) return [];
    return [{ frequencyHz, differsDb: mean(differences) }];
  });
  const most = each.sort((a, b) => Math.abs(b.differsDb) - Math.abs(a.differsDb))[0];
  return most !== undefined && Math.abs(most.differsDb) > TONE_DB ? most : null;
}

/** Where its treble breaks off, below that of the session's own source. */
function lowerCeiling(own: OwnSource, { session, measured: theirs }: MeasuredSource): number | null {
  const ceiling = findCommonCeiling(tapSeries({ session, measurements: theirs.measurements }));
  const ours = findingsOf(own.findings, 'common-ceiling')[0]?.ceilingHz ?? Number.POSITIVE_INFINITY;
  if (ceiling === null || Math.log2(ours / ceiling.ceilingHz) < SAME_EDGE_OCTAVES) return null;
  return ceiling.ceilingHz;
}

/** How far the level moves by itself within a take: from opening to closing sweep, along the ladder, in the quiet lead-in. */
function movesBy(own: readonly TakeFacts[], theirs: readonly TakeFacts[]): number | null {
  const moves = (takes: readonly TakeFacts[]) =>
    Math.max(
      0,
      ...takes.flatMap(({ channels }) =>
        channels.flatMap(({ gainChangeDb: change, ladderSpreadDb, leadInExcessDb }) => [
          change === null ? 0 : Math.max(0, Math.abs(change.value) - change.plusMinus),
          ladderSpreadDb ?? 0,
          Math.abs(leadInExcessDb ?? 0),
        ]),
      ),
    );
  const at = theirs.map(({ setting }) => setting);
  const ours = moves(own.filter(({ setting }) => at.includes(setting)));
  const most = moves(theirs);
  return most > ours + MOVES_DB ? most : null;
}
