import type { SeatTakes } from '../model/equipment.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../model/measured.ts';
import type { RecommendationOf } from '../model/recommendation.ts';
import type { PlanContext } from './plan-context.ts';

type Seat = RecommendationOf<'seat'>;

/** Sub and mains count as meeting where they are within this of each other: further apart the phase cannot be told. */
const MEETING_DB = 10;
/** A difference that a listener hears (common practice). */
const AUDIBLE_DB = 1;
/** A microphone take repeats to about this in a still car (common practice). */
const REPEATS_DB = 0.5;

/** Polarity, level and phase of the subwoofer at the hand-over from magnitudes alone: no timing link is needed. */
export function seatAdvice({ equipment }: PlanContext): Seat[] {
  const takes = equipment?.seat;
  if (takes == null) return [];
  const at = handOver(takes);
  const levelDb = takes.subwooferDb[at] - takes.mainsDb[at];
  const phase = phaseDegrees({
    subwooferDb: takes.subwooferDb[at],
    mainsDb: takes.mainsDb[at],
    bothDb: takes.bothDb[at],
  });
  const gainDb = gainFromInvertingDb(takes);
  const polarity = polarityFrom(gainDb, Math.abs(levelDb) <= MEETING_DB);
  return [
    {
      kind: 'seat',
      id: 'seat',
      order: 0,
      restsOn: [],
      reasons: reasonsFor(polarity, phase, levelDb),
      polarity,
      handOverHz: takes.frequencyHz[at],
      levelSubwooferAgainstMainsDb: levelDb,
      phaseDegrees: phase,
      gainFromInvertingDb: gainDb,
    },
  ];
}

/**
 * Angle between two sounds from their magnitudes and that of their sum:
 * cos p = (|S+M|^2 - |S|^2 - |M|^2) / (2 |S| |M|) (law of cosines). The sign of the angle stays open.
 */
export function phaseDegrees({
  subwooferDb,
  mainsDb,
  bothDb,
}: {
  subwooferDb: number;
  mainsDb: number;
  bothDb: number;
}): MeasuredOrReason {
  if (Math.abs(subwooferDb - mainsDb) > MEETING_DB)
    return notMeasurable('sub and mains are too unequal here: the sum hardly depends on the phase');
  const angleFor = (sumDb: number) =>
    (Math.acos(Math.max(-1, Math.min(1, cosine({ subwooferDb, mainsDb, sumDb })))) * 180) / Math.PI;
  const raw = cosine({ subwooferDb, mainsDb, sumDb: bothDb });
  if (Math.abs(raw) > 1 + IMPOSSIBLE_BY)
    return notMeasurable(
      'the three takes do not fit together: something changed between them',
      'repeat the takes without moving anything',
    );
  const value = angleFor(bothDb);
  const plusMinus = Math.max(
    Math.abs(angleFor(bothDb + REPEATS_DB) - value),
    Math.abs(angleFor(bothDb - REPEATS_DB) - value),
  );
  return measured({ value, plusMinus });
}

/** What takes that repeat to half a decibel may read beyond a true cosine. */
const IMPOSSIBLE_BY = 0.25;

function cosine({
  subwooferDb,
  mainsDb,
  sumDb,
}: {
  subwooferDb: number;
  mainsDb: number;
  sumDb: number;
}): number {
  const [s, m, both] = [subwooferDb, mainsDb, sumDb].map((db) => 10 ** (db / 20));
  return (both ** 2 - s ** 2 - m ** 2) / (2 * s * m);
}

/** Where the two are closest in level. */
function handOver({ subwooferDb, mainsDb }: SeatTakes): number {
  const apart = subwooferDb.map((db, i) => Math.abs(db - mainsDb[i]));
  return apart.indexOf(Math.min(...apart));
}

/** Mean over the frequencies at which the two meet; positive where the inverted subwoofer gives more. */
function gainFromInvertingDb({
  subwooferDb,
  mainsDb,
  bothDb,
  bothSubwooferInvertedDb,
}: SeatTakes): number | null {
  const meeting = subwooferDb.flatMap((db, i) => (Math.abs(db - mainsDb[i]) <= MEETING_DB ? [i] : []));
  if (meeting.length === 0) return null;
  const inverted = (i: number) =>
    bothSubwooferInvertedDb?.[i] ??
    predictedInverted({ subwooferDb: subwooferDb[i], mainsDb: mainsDb[i], bothDb: bothDb[i] });
  return meeting.reduce((total, i) => total + inverted(i) - bothDb[i], 0) / meeting.length;
}

/** |S-M|^2 = 2 |S|^2 + 2 |M|^2 - |S+M|^2 (parallelogram law). */
function predictedInverted({
  subwooferDb,
  mainsDb,
  bothDb,
}: {
  subwooferDb: number;
  mainsDb: number;
  bothDb: number;
}): number {
  const [s, m, both] = [subwooferDb, mainsDb, bothDb].map((db) => 10 ** (db / 10));
  return 10 * Math.log10(Math.max(1e-6 * (s + m), 2 * s + 2 * m - both));
}

function polarityFrom(gainDb: number | null, meets: boolean): Seat['polarity'] {
  if (gainDb === null || !meets) return 'cannot be told';
  if (Math.abs(gainDb) < AUDIBLE_DB) return 'no difference';
  return gainDb > 0 ? 'inverted' : 'as wired';
}

function reasonsFor(polarity: Seat['polarity'], phase: MeasuredOrReason, levelDb: number): string[] {
  const turned = 'value' in phase && phase.value > 60 && phase.value < 120;
  return [
    polarity === 'inverted' ? 'the hand-over is fuller with the subwoofer inverted' : `subwoofer ${polarity}`,
    ...(turned
      ? [
          'they stand about a quarter turn apart: move the subwoofer’s low-pass a third of an octave, or delay the nearer one, and repeat',
        ]
      : []),
    ...(Math.abs(levelDb) > 3
      ? [`trim the subwoofer by ${(-levelDb).toFixed(1)} dB for an even hand-over`]
      : []),
  ];
}
