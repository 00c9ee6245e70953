import { mean } from '../../dsp/statistics.ts';
import { cleanWithMusic } from '../../model/clipping-findings.ts';
import { gridSpan, valueAt } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import { bassNeed } from '../bass/bass-need.ts';
import { MOST_RESTORATION_DB } from '../bass/restoration-limit.ts';
import { measuredTogether, measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import { bassBeginsAt, hasBass } from '../chain/usable-source.ts';
import { keepsLevel } from '../keeps-level.ts';
import { findingsAbout, idsOf, limitersOn, type PlanContext, type TapRole } from '../plan-context.ts';
import { FILL } from '../seat/feed-balance.ts';
import { anchorPolarity } from './anchor-polarity.ts';
import { type FeedPlan, judgedSettingFor, soundOfSum } from './feed.ts';
import { SUBWOOFER_RANGE_HZ } from './flatness.ts';
import type { Polarities } from './polarities.ts';
import { magnitudes, programmeSpectrum } from './predict-sum.ts';
import { runnersUp } from './runners-up.ts';
import { searchSums } from './search-sums.ts';
import { isSubwooferWanted } from './subwoofer-wanted.ts';
import type { ScoredSum, SumCandidate } from './sum-cost.ts';
import { tapArrival } from './tap-arrival.ts';

/** What bass that is lost at the highest setting costs in the search, for each decibel of it. */
const PER_LOST_DB = 0.25;
/** A limiter's loss cannot be restored at all. */
const LIMITER_DB = 3;
/** What costs as much as the most bass that is restored. */
const LAST_CHOICE_DB = MOST_RESTORATION_DB * PER_LOST_DB;
/** A subwoofer output is filtered and mono already: worth this much against other taps. */
const SUBWOOFER_OUTPUT_DB = -2;
/** Between equals the rears: a sum in front of them disturbs the stage least (common practice). */
const REAR_DB = -0.02;
const MOST_TAPS = 4;
const JUDGED_AT_HZ = 50;

/** The feed for the subwoofer; null where none is wanted or no tap carries bass (`bassBeginsAt` then says where it begins). */
export function subwooferPlan(
  context: PlanContext,
  { added, connected }: { readonly added: Polarities; readonly connected: Polarities },
): FeedPlan | null {
  const candidates = bassOutputs(context);
  if (!isSubwooferWanted(context) || candidates.length === 0 || bassBeginsAt(context) !== null) return null;
  const sums = searchSums({
    candidates: candidateSpectra(context, candidates),
    wantedHz: SUBWOOFER_RANGE_HZ,
    mostTaps: MOST_TAPS,
    trimsDb: [0],
    maximumDelaySeconds: 0,
    delayStepSeconds: 1,
    known: added,
    allowed: (tapIds) => {
      const set = candidates.filter(({ tapId }) => tapIds.includes(tapId));
      return isSymmetrical(set) && isOfOneKind(set);
    },
  });
  if (sums.length === 0) return null;
  const chosen = candidates.filter(({ tapId }) => sums[0].taps.some((tap) => tap.tapId === tapId));
  return {
    output: 'subwoofer',
    side: 'both',
    taps: anchorPolarity(context, sums[0].taps, new Map([...connected, ...added])),
    reasonsFor: () => reasonsFor(context, chosen),
    restsOn: idsOf([
      ...findingsAbout(context, 'bass-change', tapIdsOf(chosen)),
      ...limitersOn(context, tapIdsOf(chosen)),
    ]),
    lost: lostWith(chosen, candidates),
    runnersUp: runnersUp(oneOfEachSet(sums), ({ taps }) =>
      soundOfSum(context, taps, { programme: 'both', wantedHz: SUBWOOFER_RANGE_HZ }),
    ),
  };
}

/** What clips at the lowest setting already, as ahead of the volume control, feeds nothing while another output of bass is clean. */
function bassOutputs(context: PlanContext): TapRole[] {
  const outputs = context.taps.filter(({ unfit, output }) => !unfit && output !== 'centre');
  const clean = outputs.filter(({ tapId }) => !isNeverClean(context, tapId));
  const carries = clean.some(({ tapId, output }) => output === 'subwoofer' || hasBass(context, tapId));
  return carryingBass(context, carries ? clean : outputs);
}

/** A tap with this much less bass than the strongest has it filtered away: it would add noise. */
const NO_BASS_DB = -15;

function carryingBass(context: PlanContext, taps: readonly TapRole[]): TapRole[] {
  const { first, last } = gridSpan(SUBWOOFER_RANGE_HZ);
  const bassDb = taps.map(({ tapId }) => {
    const setting = judgedSettingFor(context, [tapId]);
    const level = tapLevelDb(measurementsOf(context, tapId, setting!)[0]).subarray(first, last + 1);
    return mean(level);
  });
  const strongest = Math.max(...bassDb);
  return taps.filter((_, i) => bassDb[i] > strongest + NO_BASS_DB);
}

function isNeverClean(context: PlanContext, tapId: string): boolean {
  return findingsAbout(context, 'clean-settings', [tapId]).some(
    (one) => cleanWithMusic(one) === null && one.firstClippingRecorded === Math.min(...one.settings),
  );
}

function candidateSpectra(context: PlanContext, candidates: readonly TapRole[]): SumCandidate[] {
  const tapIds = tapIdsOf(candidates);
  const setting = judgedSettingFor(context, tapIds);
  const together = setting === null ? null : measuredTogether(context, tapIds, setting);
  return candidates.map((tap, i) => {
    const measurement =
      together?.measurements[i] ?? context.measurements.find(({ tapId }) => tapId === tap.tapId)!;
    const spectrum = programmeSpectrum(measurement, 'both');
    return {
      tapId: tap.tapId,
      spectrum: together?.timed
        ? spectrum
        : { real: magnitudes(spectrum), imag: new Float64Array(spectrum.real.length) },
      penaltyDb: penaltyOf(context, tap) + (isLastChoice(context, tap, candidates) ? LAST_CHOICE_DB : 0),
    };
  });
}

function penaltyOf(context: PlanContext, tap: TapRole): number {
  const lostDb = lossAtTheTop(context, tap.tapId);
  const limited = limitersOn(context, [tap.tapId]).length > 0;
  const place = tap.output === 'subwoofer' ? SUBWOOFER_OUTPUT_DB : tap.output === 'rear' ? REAR_DB : 0;
  return PER_LOST_DB * lostDb + (limited ? LIMITER_DB : 0) + place;
}

/**
 * What the radio holds back so far is a surround channel or fills in: its bass comes after the front's. What does not follow
 * the volume plays on when the radio is turned down.
 */
function isLastChoice(context: PlanContext, { tapId }: TapRole, candidates: readonly TapRole[]): boolean {
  if (keepsLevel(context, [{ tapId }])) return true;
  const arrivals = tapIdsOf(candidates).flatMap((id) => tapArrival(context, id) ?? []);
  const own = tapArrival(context, tapId);
  return own !== null && own - Math.min(...arrivals) >= FILL.delaySeconds[0];
}

function lossAtTheTop(context: PlanContext, tapId: string): number {
  const needs = bassNeed(context, [tapId]);
  if (needs === null || !(needs.atLeast || fallsWithVolume(context, tapId))) return 0;
  return valueAt(needs.perSetting[needs.perSetting.length - 1].neededDb, JUDGED_AT_HZ);
}

function fallsWithVolume(context: PlanContext, tapId: string): boolean {
  return findingsAbout(context, 'bass-change', [tapId]).some(
    ({ verdict }) => verdict === 'falls with volume',
  );
}

/** Both sides of a place or neither; a tap that carries both sides stands for itself. */
function isSymmetrical(taps: readonly TapRole[]): boolean {
  const count = (side: string, place: string) =>
    taps.filter((tap) => tap.side === side && `${tap.output} ${tap.position}` === place).length;
  return taps.every((tap) => {
    const place = `${tap.output} ${tap.position}`;
    return count('left', place) === count('right', place);
  });
}

/** A subwoofer output has passed the radio's crossover: together with what has not, the hand-over would be in it twice. */
function isOfOneKind(taps: readonly TapRole[]): boolean {
  return new Set(taps.map(({ output }) => output === 'subwoofer')).size === 1;
}

/** The search gives each set in every polarity; a reader wants other taps, not other mistakes. */
function oneOfEachSet(sums: readonly ScoredSum[]): ScoredSum[] {
  const seen = new Set<string>();
  return sums.filter(({ taps }) => {
    const key = taps.map(({ tapId }) => tapId).join('\n');
    return !seen.has(key) && seen.add(key);
  });
}

function reasonsFor(context: PlanContext, chosen: readonly TapRole[]): Reason[] {
  const tapIds = tapIdsOf(chosen);
  if (chosen.every(({ output }) => output === 'subwoofer')) return [{ code: 'own subwoofer output', tapIds }];
  return [{ code: whyNotItsOutput(context) }, { code: 'taps reach deepest', tapIds }];
}

function whyNotItsOutput(context: PlanContext) {
  const own = context.taps.filter(({ output }) => output === 'subwoofer');
  if (own.length === 0) return 'no subwoofer output';
  if (own.some(({ tapId }) => isNeverClean(context, tapId))) return 'subwoofer output is never clean';
  return keepsLevel(context, own) ? 'subwoofer output keeps its level' : 'subwoofer output loses more bass';
}

function lostWith(chosen: readonly TapRole[], candidates: readonly TapRole[]): Reason[] {
  const places = new Set(chosen.map(({ output }) => output));
  const all = new Set(candidates.map(({ output }) => output).filter((output) => output !== 'subwoofer'));
  if (places.has('subwoofer') || all.size < 2 || places.size > 1) return [];
  const [place] = places;
  return [{ code: 'subwoofer fades with a place', place }];
}

function tapIdsOf(taps: readonly TapRole[]): string[] {
  return taps.map(({ tapId }) => tapId);
}
