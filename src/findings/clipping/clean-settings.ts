import { decibels } from '../../dsp/decibels.ts';
import type { FindingOf } from '../../model/finding.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import { MIDDLE_TONE_HZ } from '../../tones/track.ts';
import { type LevelProfile, levelAround, trustedPoints } from '../bass/level-profile.ts';
import { evidenceOf, type TapSeries } from '../tap-series.ts';
import type { TapTake } from '../tap-take.ts';
import { type BassLimit, bassLimitOf, type CleanLimit, cleanLimitOf } from './clean-limit.ts';
import { toneSeries } from './tone-series.ts';

type CleanSettings = FindingOf<'clean-settings'>;

/** Lowest programme that counts (common practice: below it there is next to none). */
const LOWEST_BASS_HZ = 25;

/** Where programme is. */
const AUDIBLE_HZ = [20, 20_000] as const;
/** A frequency is the most boosted one only if it stands out of the tone's level by this and by its noise. */
const BOOSTED_DB = 0.3;
const SIGNIFICANT = 4;
/** Levels this close to a recorded clean level are clean: noise of both. */
const SAME_LEVEL_DB = 0.1;
/**
 * Music never fills the ends of the band as a sine does (common practice: above 5 kHz its peaks stand 10 dB and more below full
 * scale; the lowest octave reaches it, but seldom). So much louder than the tones a frequency may come out there.
 */
const TREBLE_FROM_HZ = 5000;
const TREBLE_BEYOND_TONES_DB = 6;
const BEYOND_TONES_DB = 2;

/** How far the volume may go at a tap; null where no tone was played. */
export function findCleanSettings({ tap, takes }: TapSeries): CleanSettings | null {
  const tones = toneSeries(takes);
  if (tones.length === 0) return null;
  const played = takes.filter((take) => take.tones.length > 0);
  return {
    kind: 'clean-settings',
    id: `clean-settings:${tap.id}`,
    tapIds: [tap.id],
    evidence: evidenceOf(played),
    settings: played.map(({ setting }) => setting),
    ...cleanSettings({ takes, limit: cleanLimitOf(tones), bassLimit: bassLimitOf(tones) }),
  };
}

/**
 * Highest settings at which a full-scale sine of the tap's most boosted frequency stays below 1 % distortion: among the
 * recorded ones, and between them by interpolating the level in decibels (settings are whole numbers).
 */
export function cleanSettings({
  takes,
  limit,
  bassLimit = null,
}: {
  takes: readonly TapTake[];
  limit: CleanLimit;
  bassLimit?: BassLimit | null;
}): Omit<CleanSettings, 'kind' | 'id' | 'tapIds' | 'evidence' | 'settings'> {
  const judged = takes.map((take) => {
    const row = { setting: take.setting, ...mostBoosted(take.profile) };
    return { ...row, take, state: stateOf({ take, row, limit, bassLimit }) };
  });
  // A take of which nothing is known says nothing of the louder ones.
  const heard = judged.filter(isHeard);
  const firstUnclean = heard.findIndex(({ state }) => state !== 'clean');
  const clean = firstUnclean < 0 ? heard : heard.slice(0, firstUnclean);
  const last = clean.at(-1) ?? null;
  const next = heard[clean.length];
  return {
    highestCleanRecorded: last?.setting ?? null,
    firstClippingRecorded: judged.find(({ state }) => state === 'clips')?.setting ?? null,
    highestCleanComputed:
      last === null || limit.kind !== 'fixed level' || next === undefined || bassLimit !== null
        ? null
        : between(last, next, limit.levelDbFs),
    mostBoostedHz: (last ?? judged[judged.length - 1]).frequencyHz,
    triedHz: [...new Set(takes.flatMap(({ tones }) => tones.map(({ toneHz }) => toneHz)))],
    ...notKnownAmong(judged, bassLimit),
    ...asLoudAsPlayed(heard, { limit, bassLimit, above: last?.setting ?? Number.NEGATIVE_INFINITY }),
  };
}

/** How far it comes out about as loud as the loudest tone that was clean: nothing where that is no higher than `above`. */
function asLoudAsPlayed(
  heard: readonly (HeardRow & { take: TapTake; state: State })[],
  { limit, bassLimit, above }: { limit: CleanLimit; bassLimit: BassLimit | null; above: number },
): Pick<CleanSettings, 'asLoudAsPlayed'> {
  if (limit.kind !== 'none seen' || bassLimit !== null) return {};
  const beyond = heard.map((row) => ({ row, louderByDb: louderThanTones(row, limit) }));
  const firstOpen = beyond.findIndex(
    ({ row, louderByDb }) => row.state !== 'clean' && !(louderByDb <= mostBeyondDb(row.frequencyHz)),
  );
  const last = (firstOpen < 0 ? beyond : beyond.slice(0, firstOpen)).at(-1);
  if (last === undefined || last.row.setting <= above) return {};
  const { setting, frequencyHz: atHz } = last.row;
  return { asLoudAsPlayed: { setting, atHz, louderByDb: last.louderByDb } };
}

/** Against the loudest tone that was clean, at whatever setting; infinite where noise hid those of the take itself. */
function louderThanTones(
  { take, levelDb }: HeardRow & { take: TapTake },
  { cleanUpToDbFs }: { cleanUpToDbFs: number },
): number {
  return take.tones.some(({ cleanToTop }) => cleanToTop) ? levelDb - cleanUpToDbFs : Number.POSITIVE_INFINITY;
}

function mostBeyondDb(frequencyHz: number): number {
  return frequencyHz >= TREBLE_FROM_HZ ? TREBLE_BEYOND_TONES_DB : BEYOND_TONES_DB;
}

/** Settings of which it is not known, and why; nothing where there are none. */
function notKnownAmong(
  judged: readonly (Row & { take: TapTake; state: State })[],
  bassLimit: BassLimit | null,
): Pick<CleanSettings, 'notKnown'> {
  const unknown = judged.filter(({ state }) => state === 'not known');
  if (unknown.length === 0) return {};
  const tooLow = bassLimit !== null && unknown.some(({ take }) => exceeds(take.profile, bassLimit));
  const noTone = unknown.some(({ take }) => take.tones.some(({ cleanToTop }) => cleanToTop));
  return {
    notKnown: {
      settings: unknown.map(({ setting }) => setting),
      because: tooLow ? 'no tone was as low' : noTone ? 'no tone was as loud' : 'noise',
    },
  };
}

interface Row {
  readonly setting: number;
  readonly frequencyHz: number;
  /** Null where nothing of the tap stands clear of the noise. */
  readonly levelDb: number | null;
}

interface HeardRow extends Row {
  readonly levelDb: number;
}

function isHeard<Some extends Row>(row: Some): row is Some & HeardRow {
  return row.levelDb !== null;
}

type State = 'clean' | 'clips' | 'not known';

function stateOf(of: { take: TapTake; row: Row; limit: CleanLimit; bassLimit: BassLimit | null }): State {
  const { take, row, limit, bassLimit } = of;
  if (take.tones.some(({ onset }) => !isNotMeasurable(onset))) return 'clips';
  if (!isHeard(row) || (bassLimit !== null && exceeds(take.profile, bassLimit))) return 'not known';
  if (wasTried(take, row)) return 'clean';
  switch (limit.kind) {
    case 'fixed level':
      return row.levelDb <= limit.levelDbFs ? 'clean' : 'clips';
    case 'fixed drive':
      return 'clips';
    case 'none seen':
      return row.levelDb <= limit.cleanUpToDbFs + SAME_LEVEL_DB ? 'clean' : 'not known';
  }
}

/** Whether a tone as loud was clean in the take itself, whatever the limit met at another setting says. */
function wasTried({ tones }: TapTake, { levelDb }: HeardRow): boolean {
  return tones.some(
    ({ cleanToTop, cleanUpToDbFs }) => cleanToTop && levelDb <= cleanUpToDbFs + SAME_LEVEL_DB,
  );
}

/** Whether bass below the tone would come above what a transformer takes there: no tone was played so low. */
function exceeds(profile: LevelProfile, { toneHz, levelDbFs }: BassLimit): boolean {
  return trustedPoints(profile, [LOWEST_BASS_HZ, toneHz]).some(
    (i) => profile.levelDb[i] > levelDbFs + decibels(gridFrequencyHz[i] / toneHz),
  );
}

/** The strongest frequency for a full-scale sine: 997 Hz unless another clearly stands out. */
function mostBoosted(profile: LevelProfile): Omit<Row, 'setting'> {
  const usual = levelAround(profile, MIDDLE_TONE_HZ);
  const points = trustedPoints(profile, AUDIBLE_HZ);
  const strongest = points.reduce(
    (best, i) => (best < 0 || profile.levelDb[i] > profile.levelDb[best] ? i : best),
    -1,
  );
  if (strongest < 0) return { frequencyHz: MIDDLE_TONE_HZ, levelDb: null };
  const frequencyHz = gridFrequencyHz[strongest];
  const level = levelAround(profile, frequencyHz)?.value ?? profile.levelDb[strongest];
  const standsOut =
    usual === null || level > usual.value + BOOSTED_DB + SIGNIFICANT * profile.sigmaDb[strongest];
  return standsOut ? { frequencyHz, levelDb: level } : { frequencyHz: MIDDLE_TONE_HZ, levelDb: usual.value };
}

/** Highest whole setting from `clean` up to below `next` whose interpolated level stays within the limit. */
function between(clean: HeardRow, next: HeardRow, limitDbFs: number): number {
  const perStep = (next.levelDb - clean.levelDb) / (next.setting - clean.setting);
  if (perStep <= 0) return clean.setting;
  const steps = Math.floor((limitDbFs - clean.levelDb) / perStep + 1e-9);
  return Math.max(clean.setting, Math.min(clean.setting + steps, next.setting - 1));
}
