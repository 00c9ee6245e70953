import type { Speaker } from '../../model/equipment.ts';
import { gridFrequencyHz, gridSpan, type RangeHz } from '../../model/frequency-grid.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { BELOW_TREBLE_TONES_HZ, TREBLE_DRIVE_DB_FS, TREBLE_TONES_HZ } from '../../tones/meter-tone.ts';
import { USUAL_OHMS } from '../chain/chain-load.ts';
import { measurementsOf, tapLevelDb } from '../chain/tap-level.ts';
import type { Feed } from '../feeds/feed.ts';
import { BAND_END_DB, middleLevelDb } from '../feeds/flatness.ts';
import { findingsAbout, idsOf, type PlanContext, roleOfTap } from '../plan-context.ts';
import { USUAL_SLOPE_DB_PER_OCTAVE } from './filter-loss.ts';

type Protection = AdviceOf<'protection'>;

/** An output that begins above this feeds a driver that bass destroys (common practice: tweeters and small dash speakers). */
const SMALL_DRIVER_FROM_HZ = 300;
/** Of the filter in front of such a driver (common practice: 12, better 24). */
const LEAST_SLOPE_DB_PER_OCTAVE = 12;

/**
 * What must stand between a channel that carries bass and a small driver that the radio's own filter protected so far, or that
 * nothing does; one item a place.
 */
export function smallDrivers(context: PlanContext, feeds: readonly Feed[]): Protection[] {
  const outputs = [...new Set(feeds.map(({ output }) => output))];
  return outputs.flatMap((output) => {
    const own = feeds.filter((feed) => feed.output === output && feed.output !== 'subwoofer');
    const small = own.flatMap((feed) => {
      const edges = outputsOf(context, feed).map((tapId) => ({ tapId, ...edgeOf(context, tapId) }));
      const deepest = Math.min(...edges.map(({ cornerHz }) => cornerHz));
      // A feed of small drivers alone still carries their band only.
      return beginsBelow(deepest) ? edges.filter((edge) => !beginsBelow(edge.cornerHz)) : [];
    });
    if (small.length > 0) return [protectionOf(context, { output, small, byRadio: true })];
    const speaker = context.equipment?.speakers.find(({ feeds: fed }) => fed === output);
    const tapIds = own.flatMap(({ taps }) => taps.map(({ tapId }) => tapId));
    const carriesBass = tapIds.some((tapId) => beginsBelow(edgeOf(context, tapId).cornerHz));
    return carriesBass && isBare(speaker)
      ? [protectionOf(context, { output, small: tapIds.map(bareTweeter), byRadio: false })]
      : [];
  });
}

/** Fed from another place, the speakers of this one lose what its own outputs kept from them. */
function outputsOf(context: PlanContext, { output, taps, leftWithRadio = [] }: Feed): string[] {
  const tapIds = taps.map(({ tapId }) => tapId);
  const isOwn = tapIds.some((tapId) => roleOfTap(context, tapId).output === output);
  return isOwn ? tapIds : [...tapIds, ...leftWithRadio];
}

/** Corners of left and right differ by what recordings do: rounded, they fall on one side of the limit. */
function beginsBelow(cornerHz: number): boolean {
  return Math.round(cornerHz / 10) * 10 < SMALL_DRIVER_FROM_HZ;
}

/** Where a tweeter of which nothing is known may begin (common practice). */
const TWEETER_FROM_HZ = 3500;

function bareTweeter(tapId: string): Edge {
  return { tapId, cornerHz: TWEETER_FROM_HZ, slopeDbPerOctave: null };
}

/** A tweeter of which nobody says what keeps the bass from it. */
function isBare(speaker: Speaker | undefined): boolean {
  if (speaker?.tweeter == null || speaker.wiring === 'passive crossover') return false;
  return speaker.tweeter.crossover === 'none' || speaker.tweeter.crossover === 'unknown';
}

interface Edge {
  readonly tapId: string;
  readonly cornerHz: number;
  readonly slopeDbPerOctave: number | null;
}

/** Of the radio's high-pass; where no fit tells it, where the measured curve begins. 0 Hz where the tap has none. */
function edgeOf(context: PlanContext, tapId: string): Omit<Edge, 'tapId'> {
  const edge = roleOfTap(context, tapId).band?.lowEdge;
  const slope = typeof edge?.slopeDbPerOctave === 'number' ? edge.slopeDbPerOctave : null;
  if (edge != null && 'family' in edge.filter)
    return { cornerHz: edge.filter.cornerHz.value, slopeDbPerOctave: slope };
  const point = [edge?.minus3Hz, edge?.minus6Hz].find((answer) => answer !== undefined && 'value' in answer);
  const cornerHz = point !== undefined && 'value' in point ? point.value : beginsAtHz(context, tapId);
  return { cornerHz, slopeDbPerOctave: slope };
}

/** What is heard (common practice). */
const WHOLE_BAND_HZ: RangeHz = [20, 20_000];

/** Where the level comes within 6 dB of its middle, at the first setting that sums are judged at. */
function beginsAtHz(context: PlanContext, tapId: string): number {
  const [measurement] = context.judgedSettings.flatMap((setting) => measurementsOf(context, tapId, setting));
  if (measurement === undefined) return 0;
  const levelDb = tapLevelDb(measurement);
  const whole = gridSpan(WHOLE_BAND_HZ);
  const endDb = middleLevelDb(levelDb, whole) + BAND_END_DB;
  const first = levelDb.findIndex((db, i) => i >= whole.first && db > endDb);
  return first <= whole.first ? 0 : gridFrequencyHz[first];
}

function protectionOf(
  context: PlanContext,
  {
    output,
    small,
    byRadio,
  }: { readonly output: Protection['output']; readonly small: readonly Edge[]; readonly byRadio: boolean },
): Protection {
  const tapIds = [...new Set(small.map(({ tapId }) => tapId))];
  const highest = small.reduce((best, edge) => (edge.cornerHz > best.cornerHz ? edge : best));
  const { cornerHz, slopeDbPerOctave } = highest;
  const speaker = context.equipment?.speakers.find(({ feeds }) => feeds === output);
  const ohms = speaker?.tweeter?.ohms ?? USUAL_OHMS;
  const highPass = {
    notBelowHz: Math.round(cornerHz),
    leastSlopeDbPerOctave: LEAST_SLOPE_DB_PER_OCTAVE,
    slopeDbPerOctave: USUAL_SLOPE_DB_PER_OCTAVE,
    gainToneHz: TREBLE_TONES_HZ.find((hz) => hz >= cornerHz) ?? HIGHEST_TONE_HZ,
  };
  const proof = filterProof(cornerHz);
  const capacitor = { ohms, microfarads: 1e6 / (2 * Math.PI * cornerHz * ohms) };
  const parallelOhms = parallel(speaker);
  const answer = answerOf(speaker);
  const factorySpeakerLosesFeed = byRadio && (speaker?.factory !== false || answer !== 'ask');
  return {
    kind: 'protection',
    id: `protection-${output}`,
    restsOn: idsOf([
      ...findingsAbout(context, 'band', tapIds),
      ...findingsAbout(context, 'crossover', tapIds),
    ]),
    reasons: [
      byRadio
        ? { code: 'small driver loses the radio’s filter', tapIds, cornerHz, slopeDbPerOctave }
        : { code: 'nothing keeps bass from the tweeter', name: speaker!.name },
      ...answerReasons({ answer, speaker, tapIds, highPass, capacitor, cornerHz, byRadio }),
      ...(factorySpeakerLosesFeed ? [{ code: 'factory tweeter loses its feed' as const, tapIds }] : []),
      ...(parallelOhms === null
        ? []
        : [{ code: 'parallel speakers load the channel' as const, ohms: parallelOhms }]),
      { code: 'connect tweeters last', cornerHz, lowHz: proof.lowHz, highHz: proof.highHz },
    ],
    output,
    tapIds,
    radioHighPass: { cornerHz, slopeDbPerOctave },
    byRadio,
    answer,
    highPass,
    proof,
    capacitor,
    parallelOhms,
    factorySpeakerLosesFeed,
  };
}

/** An octave and more below the corner a filter of 12 dB an octave leaves a quarter of the volts. */
const AN_OCTAVE = 2;
const TONES_HZ = [...BELOW_TREBLE_TONES_HZ, ...TREBLE_TONES_HZ];
const HIGHEST_TONE_HZ = Math.max(...TREBLE_TONES_HZ);

/** Two tones of the stick that show whether the filter is in: one that it takes away, one that it lets through. */
function filterProof(cornerHz: number): NonNullable<Protection['proof']> {
  return {
    lowHz: TONES_HZ.findLast((hz) => hz * AN_OCTAVE <= cornerHz) ?? TONES_HZ[0],
    highHz: TONES_HZ.find((hz) => hz >= cornerHz) ?? HIGHEST_TONE_HZ,
    driveDbFs: TREBLE_DRIVE_DB_FS,
  };
}

function answerOf(speaker: Speaker | undefined): Protection['answer'] {
  if (speaker === undefined) return 'ask';
  const crossover = speaker.tweeter?.crossover ?? 'unknown';
  if (speaker.wiring === 'passive crossover' || crossover === 'passive') return 'crossover';
  if (crossover === 'capacitor') return 'capacitor';
  if (speaker.wiring === 'separate' || crossover === 'none') return 'own channel';
  return 'ask';
}

function answerReasons({
  answer,
  speaker,
  tapIds,
  highPass,
  capacitor,
  cornerHz,
  byRadio,
}: {
  answer: Protection['answer'];
  speaker: Speaker | undefined;
  tapIds: string[];
  highPass: Protection['highPass'];
  capacitor: Protection['capacitor'];
  cornerHz: number;
  byRadio: boolean;
}): Reason[] {
  const ownChannel: Reason = { code: 'tweeter on a channel of its own', ...highPass };
  const others: Reason[] = [
    { code: 'or a set with a passive crossover' },
    ...(byRadio ? [{ code: 'or the small driver stays with the radio' as const, tapIds }] : []),
  ];
  switch (answer) {
    case 'crossover':
      return [{ code: 'passive crossover takes the channel', name: speaker!.name }];
    case 'own channel':
      return [ownChannel, ...others];
    case 'capacitor': {
      const given = speaker?.tweeter?.microfarads ?? capacitor.microfarads;
      const fromHz = 1e6 / (2 * Math.PI * given * capacitor.ohms);
      return [
        { code: 'capacitor is a last protection', ...capacitor, microfarads: given, cornerHz: fromHz },
        ownChannel,
        ...others,
      ];
    }
    case 'ask':
      return [
        { code: 'how are the speakers wired' },
        ownChannel,
        ...others,
        { code: 'capacitor is a last protection', ...capacitor, cornerHz },
      ];
  }
}

/** Door and tweeter on one pair; null where they are not, or one of them is not known. */
function parallel(speaker: Speaker | undefined): number | null {
  if (speaker?.tweeter == null || speaker.wiring !== 'parallel') return null;
  return 1 / (1 / speaker.ohms + 1 / speaker.tweeter.ohms);
}
