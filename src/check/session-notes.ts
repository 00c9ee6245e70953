import { voltsWithheld } from '../findings/clipping/rail.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import type { Statement } from '../model/check.ts';
import { type Finding, findingsOf, type LineOrigin } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import { codeOf, isSameReason, type Reason } from '../model/reason.ts';
import type { Session, Tap } from '../model/session.ts';
import { toneAgainstMiddle } from './tone-against-middle.ts';

/** Outputs of one radio rarely differ by more with balance and fade at centre (common practice). */
const UNLIKE_DB = 1;
/** A lift of bass or treble that is more than a maker's usual correction (common practice). */
const TONE_DB = 3;
/** A side this much louder at every setting is a balance off centre: what makers do for the driver's seat is less (common practice). */
const BALANCE_OFF_DB = 3;
/** One hum on all outputs reads alike; outputs with hum of their own differ by more (common practice). */
const HUM_ALIKE_DB = 3;

/** What is to be looked at in the car or the notes, although no take is at fault: controls, questions of volts, habits of the radio. */
export function sessionNotes(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
}): Statement[] {
  const { session, measurements, findings } = of;
  const outputs = session.taps.filter((tap) => !isMicrophone(tap));
  const toSettle = balanceToSettle(of).map(({ tapIds }) => tapIds[0]);
  return [
    ...unlikeSides(outputs, findings).filter(({ tapIds }) => !toSettle.includes(tapIds[0])),
    ...unlikeEnds(outputs, findings),
    ...(controlsNoted(session) ? [] : tone(outputs, { measurements, findings })),
    ...railQuestions(findings),
    ...commonHum(outputs, findings),
    ...engineSounds(findings),
    ...muting(findings),
    ...otherSources(findings),
    ...oneChannel(session, outputs),
    ...uncalibrated(session, outputs),
  ];
}

/**
 * A balance that stands off centre, unless the notes say where the controls stood: gains would be set for one side. The control
 * moves every pair, so the one that shows it most speaks for all.
 */
export function balanceToSettle({
  session,
  findings,
}: {
  session: Session;
  findings: readonly Finding[];
}): Statement[] {
  if (controlsNoted(session)) return [];
  const outputs = session.taps.filter((tap) => !isMicrophone(tap));
  return unlikeSides(outputs, findings)
    .flatMap(({ tapIds, reason }) =>
      typeof reason !== 'string' && reason.code === 'one side louder' && reason.db >= BALANCE_OFF_DB
        ? [{ tapIds, quietTapId: reason.quietTapId, db: reason.db }]
        : [],
    )
    .sort((one, other) => other.db - one.db)
    .slice(0, 1)
    .map(({ tapIds, quietTapId, db }) => about(tapIds, { code: 'balance off centre', quietTapId, db }));
}

/** Whether somebody looked where tone, fade and balance stood: at centre, or off it, which the report says by itself. */
function controlsNoted({ notes }: Session): boolean {
  return notes.some((note) => CONTROLS_NOTED.has(codeOf(note) ?? ''));
}

const CONTROLS_NOTED: ReadonlySet<string> = new Set(['controls at centre', 'controls off centre']);

function otherSources(findings: readonly Finding[]): Statement[] {
  return findingsOf(findings, 'other-source').map(
    ({ source, comparedWith, levelDb, ceilingHz, movesDb }) => ({
      tapIds: [],
      settings: [],
      reason: {
        code: 'other source compared',
        source,
        than: comparedWith,
        levelDb: isNotMeasurable(levelDb) ? null : levelDb.value,
        ceilingHz,
        movesDb,
      },
      because: isNotMeasurable(levelDb) ? levelDb.notMeasurable : null,
    }),
  );
}

const about = (tapIds: readonly string[], reason: Reason): Statement => ({
  tapIds: [...tapIds],
  settings: [],
  reason,
});

/** Left and right of one place: balance. */
function unlikeSides(taps: readonly Tap[], findings: readonly Finding[]): Statement[] {
  return pairsOf(
    taps,
    (one, other) => one.position === other.position && one.side === 'left' && other.side === 'right',
  ).flatMap((pair) => louder(pair, { findings, control: 'balance' }));
}

/** Front and rear of one side: fade. */
function unlikeEnds(taps: readonly Tap[], findings: readonly Finding[]): Statement[] {
  return pairsOf(
    taps,
    (one, other) => one.position === 'front' && other.position === 'rear' && one.side === other.side,
  ).flatMap((pair) => louder(pair, { findings, control: 'fade' }));
}

interface TapPair {
  readonly one: Tap;
  readonly other: Tap;
}

function pairsOf(taps: readonly Tap[], belong: (one: Tap, other: Tap) => boolean): TapPair[] {
  return taps
    .filter(({ position }) => position !== 'unknown')
    .flatMap((one) => taps.filter((other) => belong(one, other)).map((other) => ({ one, other })));
}

function louder(
  { one, other }: TapPair,
  { findings, control }: { findings: readonly Finding[]; control: 'balance' | 'fade' },
): Statement[] {
  const levels = findingsOf(findings, 'volume-law');
  const law = ({ id }: Tap) => levels.find(({ tapIds }) => tapIds[0] === id);
  const differencesDb = (law(one)?.levels ?? []).flatMap(({ setting, levelDbFs }) => {
    const theirs = law(other)?.levels.find((level) => level.setting === setting);
    return theirs === undefined ? [] : [levelDbFs - theirs.levelDbFs];
  });
  const least = Math.min(...differencesDb.map(Math.abs));
  const alike = new Set(differencesDb.map(Math.sign)).size === 1;
  if (!alike || least <= UNLIKE_DB) return [];
  const [loud, quiet] = differencesDb[0] > 0 ? [one, other] : [other, one];
  return [about([loud.id], { code: 'one side louder', quietTapId: quiet.id, db: least, control })];
}

/**
 * The same lift on every output with a middle, at the middle of the settings at which the volume does nothing to the bass: the
 * tone control, or the maker's own. An output whose band ends at that end says nothing of it: no control makes a crossover.
 */
function tone(
  taps: readonly Tap[],
  { measurements, findings }: { measurements: readonly TapMeasurement[]; findings: readonly Finding[] },
): Statement[] {
  const shapes = taps.flatMap(({ id }) => {
    const isOfTap = ({ tapIds }: Finding) => tapIds[0] === id;
    const cutFrom =
      findingsOf(findings, 'bass-change').find(isOfTap)?.onset?.firstChanged ?? Number.POSITIVE_INFINITY;
    const liftedTo =
      findingsOf(findings, 'loudness-contour').find(isOfTap)?.upToSetting ?? Number.NEGATIVE_INFINITY;
    const own = measurements
      .filter(({ tapId, setting }) => tapId === id && setting > liftedTo && setting < cutFrom)
      .sort((one, other) => one.setting - other.setting);
    const middle = own[(own.length - 1) >> 1];
    const shape = middle === undefined ? null : toneAgainstMiddle(middle);
    const band = findingsOf(findings, 'band').find(isOfTap);
    return shape === null ? [] : [{ shape, bass: band?.lowEdge ?? null, treble: band?.highEdge ?? null }];
  });
  return (['bass', 'treble'] as const).flatMap((end) => {
    const lifts = shapes.filter((one) => one[end] === null).map(({ shape }) => shape[end]);
    if (lifts.length === 0) return [];
    const least = Math.min(...lifts.map(Math.abs));
    return least > TONE_DB && new Set(lifts.map(Math.sign)).size === 1
      ? [about([], { code: 'tone off centre', end, db: least, lift: lifts[0] > 0 })]
      : [];
  });
}

/** Those that withhold no volts; what does is a reason against closing the dash. */
function railQuestions(findings: readonly Finding[]): Statement[] {
  const slip = voltsWithheld(findings);
  const byQuestion = new Map<string, { question: Reason; tapIds: string[] }>();
  for (const { question, clipVoltsPeak, tapIds } of findingsOf(findings, 'rail')) {
    if (question === null || (slip !== null && isSameReason(question, slip))) continue;
    const key = `${codeOf(question)} ${clipVoltsPeak.value.toFixed(SAME_RAIL_PLACES)}`;
    const alike = byQuestion.get(key) ?? { question, tapIds: [] };
    byQuestion.set(key, { ...alike, tapIds: [...alike.tapIds, ...tapIds] });
  }
  return [...byQuestion.values()].map(({ question, tapIds }) => about(tapIds, question));
}

/** Rails that are told with the same volts are one question. */
const SAME_RAIL_PLACES = 1;

/** Mains hum at every output, and alike: what comes in behind the radio, or through its ground. */
function commonHum(outputs: readonly Tap[], findings: readonly Finding[]): Statement[] {
  const hum = findingsOf(findings, 'noise').filter(({ tapIds }) =>
    outputs.some(({ id }) => id === tapIds[0]),
  );
  const [first] = hum;
  if (first === undefined || hum.length < 2 || hum.length < outputs.length) return [];
  const { mainsHz } = first;
  if (mainsHz === null || hum.some((one) => one.mainsHz !== mainsHz)) return [];
  const loudest = hum.map(({ lines }) => Math.max(...lines.map(({ levelDbFs }) => levelDbFs)));
  if (Math.max(...loudest) - Math.min(...loudest) > HUM_ALIKE_DB) return [];
  return [
    about(
      hum.flatMap(({ tapIds }) => tapIds),
      { code: 'hum common to all outputs', mainsHz },
    ),
  ];
}

function engineSounds(findings: readonly Finding[]): Statement[] {
  const all: Statement[] = [];
  for (const { tapIds, origins = [] } of findingsOf(findings, 'noise'))
    for (const reason of origins.flatMap(originReason)) {
      const same = all.find((one) => isSameReason(one.reason, reason));
      if (same === undefined) all.push(about(tapIds, reason));
      else same.tapIds.push(...tapIds);
    }
  return all;
}

function originReason({ origin, atVolumeZero, combs }: LineOrigin): Reason[] {
  const lines = combs.map(({ engine, fundamentalHz }) => ({ engine, fundamentalHz }));
  switch (origin) {
    case 'engine sound':
      return [{ code: 'tones follow the engine', lines, atVolumeZero }];
    case 'alternator':
      return [{ code: 'alternator whine', lines }];
    default:
      return [];
  }
}

function muting(findings: readonly Finding[]): Statement[] {
  const tapIds = findingsOf(findings, 'noise').flatMap((finding) =>
    finding.mutesInSilence ? finding.tapIds : [],
  );
  return tapIds.length === 0 ? [] : [about(tapIds, { code: 'muted in silence' })];
}

function oneChannel(session: Session, outputs: readonly Tap[]): Statement[] {
  const takes = session.recordings.filter(({ kind }) => kind === 'takes');
  const alone = takes.every(({ channels }) => channels.filter((tapId) => tapId !== null).length === 1);
  return alone && outputs.length > 1
    ? [
        about(
          outputs.map(({ id }) => id),
          { code: 'one channel at a time' },
        ),
      ]
    : [];
}

function uncalibrated({ calibration }: Session, outputs: readonly Tap[]): Statement[] {
  return calibration.kind === 'none' && outputs.length > 0 ? [about([], { code: 'no calibration' })] : [];
}
