import type { Doubt } from '../../model/doubt.ts';
import { gridFrequencyHz, MIDDLE_HZ, POINTS_PER_DECADE } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import {
  type Estimate,
  FEWEST_MIDDLE_POINTS,
  type LevelProfile,
  levelProfile,
  meanLevel,
  strongestLevelDb,
  strongPoints,
  trustedPoints,
} from '../bass/level-profile.ts';
import type { OneTap } from './one-tap.ts';

/** Third octaves of IEC 61260-1 from here to there: below it a track sweeps too briefly, above it codecs leave little. */
const FROM_HZ = 31.6;
const UP_TO_HZ = 10_000;
/** A radio's tone is held to a tenth of this; a knob's smallest step is 1 to 2 dB (common practice). */
const ODD_DB = 1;
/** Settings that agree within this are one tone, of which an end may stand off (the definition of a plateau of bass). */
const ALIKE_DB = 0.5;
const SIGMAS = 4.5;
/** A take this many times further out than its neighbours are apart was moved alone (what stays moved is out by one step of the radio's own). */
const FAR_OUT = 2;
/** Below this a loss at the highest setting may be the radio's, and so may a lift at the lowest; above it neither. */
const BASS_BELOW_HZ = 300;
/** What a bass cut moves ends well below the one, and the treble begins at the other (common practice). */
const UPPER_MIDDLE_HZ = 1500;
const TREBLE_FROM_HZ = 3000;
/** Bands that lie so far below the tap's strongest are stop band, where leakage and noise make the tone (chosen here). */
const STOP_BAND_DB = 24;
/** A third of an octave is a tenth of a decade. */
const BAND_POINTS = POINTS_PER_DECADE / 10;
const BANDS_HZ: readonly number[] = [...gridFrequencyHz].filter(
  (hz, i) => i % BAND_POINTS === 0 && hz >= FROM_HZ && hz <= UP_TO_HZ,
);
/** Two octaves: so far a filter's resonance reaches beside what it takes. */
const NEAR_BANDS = 6;
/** A band is a tenth of a decade. */
const HALF_A_BAND = 10 ** 0.05;
/** Takes beside an end that have to agree before it can be called odd. */
const FEWEST_ALIKE = 3;

/**
 * Settings at which a tap sounds otherwise than the settings on both sides of it say: a tone control that was moved for one take,
 * an echo, a low cut. What a radio does with its volume grows or shrinks from setting to setting. At either end only what no
 * radio does is called odd: bass that is lifted at the highest setting or cut at the lowest, and treble that moves there.
 */
export function oddShapes(taps: readonly OneTap[]): Doubt[] {
  const odd = taps.flatMap(({ tap, takes }) =>
    tap.position === 'microphone' ? [] : oddAmong(takes).map((one) => ({ tapId: tap.id, ...one })),
  );
  return [...new Set(odd.map(({ setting }) => setting))].map((setting): Doubt => {
    const own = odd.filter((one) => one.setting === setting);
    const { atHz, offDb, fromThereUp } = most(own)!;
    return {
      kind: 'take',
      reason: {
        code: 'tone differs from its neighbours',
        settings: [setting],
        atHz: Number(atHz.toPrecision(2)),
        offDb: Number(offDb.toFixed(1)),
        fromThereUp,
      },
      tapIds: own.map(({ tapId }) => tapId),
      settings: fromThereUp ? settingsFrom(taps, setting) : [setting],
    };
  });
}

function settingsFrom(taps: readonly OneTap[], setting: number): number[] {
  const all = taps.flatMap(({ takes }) => takes.map((take) => take.setting));
  return [...new Set(all)].filter((one) => one >= setting).sort((one, other) => one - other);
}

interface Odd {
  readonly atHz: number;
  readonly offDb: number;
  /** Its neighbours differ as well: it may be this take alone, or all from there up. */
  readonly fromThereUp: boolean;
}

type Take = OneTap['takes'][number];
/** One for each of BANDS_HZ. */
type Tone = readonly (Estimate | null)[];
interface Toned {
  readonly take: Take;
  readonly tone: Tone;
}

/** The oddest first: beside it, others only seemed so. */
function oddAmong(takes: readonly Take[]): (Odd & { setting: number })[] {
  const tones = takes.map((take) => ({ take, tone: toneOf(take.response) }));
  const known = tones.flatMap(({ take, tone }) => (tone === null ? [] : [{ take, tone }]));
  const all: (Odd & { setting: number })[] = [];
  for (let left = known; ; ) {
    const found = left.flatMap(({ take: { setting } }, i) => {
      const one = oddAt(left, i);
      return one === null ? [] : [{ setting, ...one }];
    });
    const oddest = most(found);
    if (oddest === null) break;
    all.push(oddest);
    left = left.filter(({ take }) =>
      oddest.fromThereUp ? take.setting < oddest.setting : take.setting !== oddest.setting,
    );
  }
  const run = oddRun(
    known.filter(
      ({ take }) =>
        !all.some(
          ({ setting, fromThereUp }) => setting === take.setting || (fromThereUp && take.setting > setting),
        ),
    ),
  );
  return [...all, ...run].sort((one, other) => one.setting - other.setting);
}

function most<Value extends Odd>(odd: readonly Value[]): Value | null {
  return odd.reduce<Value | null>(
    (best, one) => (best === null || Math.abs(one.offDb) > Math.abs(best.offDb) ? one : best),
    null,
  );
}

/** Between two others, outside of both. */
function oddAt(takes: readonly Toned[], i: number): Odd | null {
  const [before, own, after] = [takes[i - 1], takes[i], takes[i + 1]];
  return before === undefined || after === undefined ? null : beyondBoth({ before, own, after });
}

/**
 * From one setting to the end of the range, the fewer of all, off the rest that agree: the longest such run. One that goes on
 * growing to the end follows the volume, and is the radio's.
 */
function oddRun(takes: readonly Toned[]): (Odd & { setting: number })[] {
  for (let count = (takes.length - 1) >> 1; count > 0; count--)
    for (const isTop of [true, false]) {
      const run = isTop ? takes.slice(-count) : takes.slice(0, count);
      const others = takes.filter((take) => !run.includes(take));
      const odd = run.flatMap((own) => {
        const one = beyondAll({ own, others, isTop });
        return one === null ? [] : [{ setting: own.take.setting, ...one }];
      });
      if (odd.length < count) continue;
      return growsOutward(isTop ? run : run.toReversed(), odd[0].atHz) ? [] : odd;
    }
  return [];
}

function growsOutward(run: readonly Toned[], atHz: number): boolean {
  const band = BANDS_HZ.indexOf(atHz);
  const values = run.flatMap(({ tone }) => tone[band]?.value ?? []);
  const steps = values.slice(1).map((value, i) => value - values[i]);
  return steps.length > 0 && steps.every((step) => Math.abs(step) > ODD_DB && step * steps[0] > 0);
}

/** Where the take between two others stands outside of both by most, and by more than they are apart near there; null where nowhere. */
function beyondBoth(of: { before: Toned; own: Toned; after: Toned }): Odd | null {
  const bands = BANDS_HZ.map((atHz, band) => {
    const [one, own, other] = [of.before, of.own, of.after].map(({ tone }) => tone[band]);
    if (one === null || own === null || other === null)
      return { atHz, offDb: 0, progressDb: 0, fromThereUp: false };
    const offDb = outside(own.value, [one.value, other.value]);
    const noise = SIGMAS * Math.hypot(own.sigma, Math.max(one.sigma, other.sigma));
    const apartDb = Math.abs(one.value - other.value);
    return Math.abs(offDb) > noise
      ? {
          atHz,
          offDb,
          progressDb: 0,
          fromThereUp: isFromThereUp({ offDb, risesDb: other.value - one.value, noise }),
        }
      : { atHz, offDb: 0, progressDb: apartDb, fromThereUp: false };
  });
  // A high-pass that climbs and rings lifts what lies beside the bass that it takes.
  const progressNear = (band: number) =>
    Math.max(
      ...bands.slice(Math.max(0, band - NEAR_BANDS), band + NEAR_BANDS + 1).map((one) => one.progressDb),
    );
  return most(bands.filter(({ offDb }, band) => Math.abs(offDb) > Math.max(ODD_DB, progressNear(band))));
}

/**
 * Whether a tone control that was moved there and stayed so explains as much as one that was moved for one take: the settings above
 * do not come back to those below. One that stands far out beside little change between them was moved alone.
 */
function isFromThereUp({
  offDb,
  risesDb,
  noise,
}: {
  offDb: number;
  risesDb: number;
  noise: number;
}): boolean {
  const apartDb = Math.abs(risesDb);
  return (
    apartDb > Math.max(ALIKE_DB, noise) && (Math.abs(offDb) < FAR_OUT * apartDb || (offDb > 0 && risesDb > 0))
  );
}

/**
 * Where a take at an end stands off others that agree, by more than a radio's volume explains; null where nowhere. Where they do
 * not agree in the bass, which may follow the volume, treble that moves is told all the same.
 */
function beyondAll(of: { own: Toned; others: readonly Toned[]; isTop: boolean }): Odd | null {
  const { own, others, isTop } = of;
  const odd: Odd[] = [];
  let bassMoves = false;
  for (const [band, atHz] of BANDS_HZ.entries()) {
    const mine = own.tone[band];
    const theirs = others.flatMap(({ tone }) => tone[band] ?? []);
    if (mine === null || theirs.length < FEWEST_ALIKE) continue;
    const values = theirs.map(({ value }) => value);
    const sigma = Math.max(...theirs.map((one) => one.sigma));
    if (Math.max(...values) - Math.min(...values) > Math.max(ALIKE_DB, SIGMAS * sigma)) {
      if (atHz >= BASS_BELOW_HZ) return null;
      bassMoves = true;
      continue;
    }
    const offDb = outside(mine.value, values);
    const isLoss = offDb < 0;
    const radioMay = isTop ? isLoss && atHz < BASS_BELOW_HZ : !isLoss;
    if (!radioMay && Math.abs(offDb) > Math.max(ODD_DB, SIGMAS * Math.hypot(mine.sigma, sigma)))
      odd.push({ atHz, offDb, fromThereUp: false });
  }
  const oddest = most(bassMoves ? odd.filter((one) => isTreble(one, of)) : odd);
  return oddest !== null && standsAtLowDrive(of, oddest) ? oddest : null;
}

/** Bass that is taken from the middle too lifts all above it alike: treble is odd where it moves against the upper middle. */
function isTreble({ atHz, offDb }: Odd, { own, others }: { own: Toned; others: readonly Toned[] }): boolean {
  const at = ({ tone }: Toned) => tone[BANDS_HZ.findIndex((hz) => hz > UPPER_MIDDLE_HZ)]?.value ?? null;
  const mine = at(own);
  if (atHz < TREBLE_FROM_HZ || mine === null) return false;
  const theirs = others.flatMap((one) => at(one) ?? []);
  return Math.abs(offDb) - Math.abs(outside(mine, theirs)) > ODD_DB;
}

/** A limiter or a clip at the main sweep's drive is none at the lower one; true where that was not played or does not tell. */
function standsAtLowDrive({ own, others }: { own: Toned; others: readonly Toned[] }, odd: Odd): boolean {
  const band = BANDS_HZ.indexOf(odd.atHz);
  const at = ({ take: { lowDrive } }: Toned) =>
    lowDrive === null ? null : (toneOf(lowDrive)?.[band]?.value ?? null);
  const mine = at(own);
  const theirs = others.flatMap((one) => at(one) ?? []);
  return mine === null || theirs.length === 0 || Math.sign(odd.offDb) * outside(mine, theirs) > ODD_DB / 2;
}

/** How far a value lies above the highest or (negative) below the lowest of others; 0 between them. */
function outside(value: number, others: readonly number[]): number {
  return Math.max(0, value - Math.max(...others)) + Math.min(0, value - Math.min(...others));
}

/** Level of each band against the middle; null where it is not trusted, or no middle is. */
function toneOf(response: FrequencyResponse): Tone | null {
  const profile = levelProfile(response);
  const floorDb = strongestLevelDb(profile) - STOP_BAND_DB;
  const middlePoints = strongPoints(profile, { withinHz: MIDDLE_HZ, withinDb: STOP_BAND_DB });
  if (middlePoints.length < FEWEST_MIDDLE_POINTS) return null;
  const middle = meanLevel(profile, middlePoints);
  return BANDS_HZ.map((atHz) => {
    const level = bandLevel(profile, atHz);
    return level === null || level.value < floorDb
      ? null
      : { value: level.value - middle.value, sigma: Math.hypot(level.sigma, middle.sigma) };
  });
}

function bandLevel(profile: LevelProfile, atHz: number): Estimate | null {
  const points = trustedPoints(profile, [atHz / HALF_A_BAND, atHz * HALF_A_BAND]);
  return points.length < BAND_POINTS ? null : meanLevel(profile, points);
}
