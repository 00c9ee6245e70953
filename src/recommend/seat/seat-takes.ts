import { decibelsOfPower, powerRatioOf, ratioOf } from '../../dsp/decibels.ts';
import { mean } from '../../dsp/statistics.ts';
import type { SeatTakes } from '../../model/equipment.ts';
import { type MeasuredOrReason, measured, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { PlanContext } from '../plan-context.ts';
import { polarityReasons, quarterTurnReasons, trimReasons, WORTH_A_TRIM_DB } from './seat-reasons.ts';

type Seat = AdviceOf<'seat'>;

/** Sub and mains count as meeting where they are within this of each other: further apart the phase cannot be told. */
const MEETING_DB = 10;
/** A difference that a listener hears (common practice). */
const AUDIBLE_DB = 1;
/** A microphone take repeats to about this in a still car (common practice). */
const REPEATS_DB = 0.5;

/**
 * Polarity, level and phase of the subwoofer at the hand-over from magnitudes alone: no timing link is needed.
 *
 * @param cornerHz of the filters between mains and subwoofer
 */
export function seatAdvice({ equipment }: PlanContext, cornerHz: number): Seat[] {
  const takes = equipment?.seat;
  if (takes == null) return [];
  const around = aroundHandOver(takes, cornerHz);
  const at = handOver(takes, around);
  const levelDb = takes.subwooferDb[at] - takes.mainsDb[at];
  const phase = phaseDegrees({
    subwooferDb: takes.subwooferDb[at],
    mainsDb: takes.mainsDb[at],
    bothDb: takes.bothDb[at],
  });
  const gainDb = gainFromInvertingDb(takes, around);
  const polarity = polarityFrom(gainDb, Math.abs(levelDb) <= MEETING_DB);
  const trimDb = trimAt(takes, cornerHz);
  return [
    {
      kind: 'seat',
      id: 'seat',
      restsOn: [],
      reasons: [
        ...polarityReasons(polarity, gainDb),
        ...quarterTurnReasons(phase, takes.frequencyHz[at]),
        ...trimReasons(trimDb, cornerHz),
        ...contradiction(takes, around),
      ],
      polarity,
      handOverHz: takes.frequencyHz[at],
      levelSubwooferAgainstMainsDb: levelDb,
      phaseDegrees: phase,
      gainFromInvertingDb: gainDb,
      ...(Math.abs(trimDb) > WORTH_A_TRIM_DB ? { trimDb } : {}),
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
  if (Math.abs(subwooferDb - mainsDb) > MEETING_DB) return notMeasurable({ code: 'too unequal for a phase' });
  const angleFor = (sumDb: number) =>
    (Math.acos(Math.max(-1, Math.min(1, cosine({ subwooferDb, mainsDb, sumDb })))) * 180) / Math.PI;
  const raw = cosine({ subwooferDb, mainsDb, sumDb: bothDb });
  if (Math.abs(raw) > 1 + IMPOSSIBLE_BY)
    return notMeasurable(
      { code: 'something changed between the takes' },
      { code: 'repeat without moving anything' },
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
  const [s, m, both] = [subwooferDb, mainsDb, sumDb].map(ratioOf);
  return (both ** 2 - s ** 2 - m ** 2) / (2 * s * m);
}

/** The hand-over is looked for this far around the corner of the filters: two thirds of an octave. */
const AROUND_RATIO = 1.6;

/** Places in the list around the corner; all where nothing is near it. */
function aroundHandOver({ frequencyHz }: SeatTakes, cornerHz: number): number[] {
  const all = frequencyHz.map((_, i) => i);
  const near = all.filter(
    (i) => frequencyHz[i] >= cornerHz / AROUND_RATIO && frequencyHz[i] <= cornerHz * AROUND_RATIO,
  );
  return near.length === 0 ? all : near;
}

/** Where the two are closest in level. */
function handOver({ subwooferDb, mainsDb }: SeatTakes, around: readonly number[]): number {
  const apart = (i: number) => Math.abs(subwooferDb[i] - mainsDb[i]);
  return around.reduce((best, i) => (apart(i) < apart(best) ? i : best));
}

/** A third of an octave around the corner: a dip of the cabin is not to set a level. */
const TRIM_RATIO = 2 ** (1 / 6);
/** Mains less subwoofer around the corner, where both filters take the same away; 0 where nothing was measured there. */
function trimAt({ frequencyHz, subwooferDb, mainsDb }: SeatTakes, cornerHz: number): number {
  const near = frequencyHz.flatMap((hz, i) =>
    hz >= cornerHz / TRIM_RATIO && hz <= cornerHz * TRIM_RATIO ? [i] : [],
  );
  const power = (levels: readonly number[]) => near.reduce((sum, i) => sum + powerRatioOf(levels[i]), 0);
  return near.length === 0 ? 0 : decibelsOfPower(power(mainsDb) / power(subwooferDb));
}

/** Mean over the frequencies at which the two meet; positive where the inverted subwoofer gives more. */
function gainFromInvertingDb(takes: SeatTakes, around: readonly number[]): number | null {
  const { bothDb, bothSubwooferInvertedDb } = takes;
  const meeting = around.filter((i) => meets(takes, i));
  if (meeting.length === 0) return null;
  const inverted = (i: number) => bothSubwooferInvertedDb?.[i] ?? predictedInverted(levelsAt(takes, i));
  return mean(meeting.map((i) => inverted(i) - bothDb[i]));
}

function meets({ subwooferDb, mainsDb }: SeatTakes, i: number): boolean {
  return Math.abs(subwooferDb[i] - mainsDb[i]) <= MEETING_DB;
}

function levelsAt({ subwooferDb, mainsDb, bothDb }: SeatTakes, i: number) {
  return { subwooferDb: subwooferDb[i], mainsDb: mainsDb[i], bothDb: bothDb[i] };
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
  const [s, m, both] = [subwooferDb, mainsDb, bothDb].map(powerRatioOf);
  return decibelsOfPower(Math.max(1e-6 * (s + m), 2 * s + 2 * m - both));
}

function polarityFrom(gainDb: number | null, meets: boolean): Seat['polarity'] {
  if (gainDb === null || !meets) return 'cannot be told';
  if (Math.abs(gainDb) < AUDIBLE_DB) return 'no difference';
  return gainDb > 0 ? 'inverted' : 'as wired';
}

/** The four levels obey |S+M|^2 + |S-M|^2 = 2 |S|^2 + 2 |M|^2: where they do not, something was moved between the takes. */
function contradiction(takes: SeatTakes, around: readonly number[]): Reason[] {
  const { bothDb, bothSubwooferInvertedDb, subwooferDb, mainsDb } = takes;
  const apart = around.flatMap((i) => {
    const inverted = bothSubwooferInvertedDb?.[i];
    if (inverted === undefined || !meets(takes, i)) return [];
    const [sums, parts] = [
      powerRatioOf(bothDb[i]) + powerRatioOf(inverted),
      2 * powerRatioOf(subwooferDb[i]) + 2 * powerRatioOf(mainsDb[i]),
    ];
    return [decibelsOfPower(sums / parts)];
  });
  return apart.length === 0 || Math.abs(mean(apart)) <= FIT_WITHIN_DB
    ? []
    : [{ code: 'takes do not fit together' }];
}

/** Twice what a take repeats to. */
const FIT_WITHIN_DB = 2 * REPEATS_DB;
