import { voltsWithheld } from '../findings/clipping/rail.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import { type Finding, findingsOf, type LineOrigin } from '../model/finding.ts';
import type { TapMeasurement } from '../model/measurement.ts';
import type { Session, Tap } from '../model/session.ts';
import { reasonText } from '../words/reason-text.ts';
import { toneAgainstMiddle } from './tone-against-middle.ts';

/** Outputs of one radio rarely differ by more with balance and fade at centre (common practice). */
const UNLIKE_DB = 1;
/** A lift of bass or treble that is more than a maker's usual correction (common practice). */
const TONE_DB = 3;

/** What is to be looked at in the car or the notes, although no take is at fault: controls, questions of volts, habits of the radio. */
export function sessionNotes(of: {
  session: Session;
  measurements: readonly TapMeasurement[];
  findings: readonly Finding[];
}): string[] {
  const { session, measurements, findings } = of;
  const outputs = session.taps.filter((tap) => !isMicrophone(tap));
  const slip = voltsWithheld(findings);
  const questions = findingsOf(findings, 'rail').flatMap(({ question }) =>
    question === null || question === slip ? [] : [reasonText(question)],
  );
  return [
    ...unlikeSides(outputs, findings),
    ...unlikeEnds(outputs, findings),
    ...tone(outputs, measurements),
    ...new Set(questions),
    ...engineSounds(findings),
    ...muting(findings),
    ...oneChannel(session, outputs),
    ...uncalibrated(session, outputs),
  ];
}

/** Left and right of one place: balance. */
function unlikeSides(taps: readonly Tap[], findings: readonly Finding[]): string[] {
  return pairsOf(
    taps,
    (one, other) => one.position === other.position && one.side === 'left' && other.side === 'right',
  ).flatMap(({ one, other }) =>
    louder({ one, other, findings }, 'is balance at centre, and does the same load hang on both'),
  );
}

/** Front and rear of one side: fade. */
function unlikeEnds(taps: readonly Tap[], findings: readonly Finding[]): string[] {
  return pairsOf(
    taps,
    (one, other) => one.position === 'front' && other.position === 'rear' && one.side === other.side,
  ).flatMap(({ one, other }) =>
    louder({ one, other, findings }, 'is fade at centre, or does the radio have it so'),
  );
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
  { one, other, findings }: TapPair & { findings: readonly Finding[] },
  question: string,
): string[] {
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
  return [`${loud.id} is ${least.toFixed(1)} dB louder than ${quiet.id} at every setting: ${question}?`];
}

/** The same lift on every output with a middle, at its middle setting: the tone control, or the maker's own. */
function tone(taps: readonly Tap[], measurements: readonly TapMeasurement[]): string[] {
  const shapes = taps.flatMap(({ id }) => {
    const own = measurements
      .filter(({ tapId }) => tapId === id)
      .sort((one, other) => one.setting - other.setting);
    const middle = own[(own.length - 1) >> 1];
    return middle === undefined ? [] : (toneAgainstMiddle(middle) ?? []);
  });
  if (shapes.length === 0) return [];
  return (['bass', 'treble'] as const).flatMap((end) => {
    const lifts = shapes.map((shape) => shape[end]);
    const least = Math.min(...lifts.map(Math.abs));
    return least > TONE_DB && new Set(lifts.map(Math.sign)).size === 1
      ? [
          `every full-range output has ${least.toFixed(1)} dB or more ${lifts[0] > 0 ? 'lift' : 'cut'} of ${end} at middle volume: is tone at centre, or does the radio have it so?`,
        ]
      : [];
  });
}

function engineSounds(findings: readonly Finding[]): string[] {
  const taps = new Map<string, string[]>();
  for (const { tapIds, origins = [] } of findingsOf(findings, 'noise'))
    for (const text of origins.flatMap(originText)) taps.set(text, [...(taps.get(text) ?? []), ...tapIds]);
  return Array.from(taps, ([text, tapIds]) => `${tapIds.join(', ')}: ${text}`);
}

function originText(origin: LineOrigin): string[] {
  const about = linesOf(origin);
  switch (origin.origin) {
    case 'engine sound':
      return [
        `tones that follow the engine (${about})${origin.atVolumeZero ? ' at volume zero' : ''}: cabin noise cancelling or synthesised engine sound; settle it by the maker’s information before a subwoofer is added`,
      ];
    case 'alternator':
      return [`alternator whine (${about})`];
    default:
      return [];
  }
}

function linesOf({ combs }: LineOrigin): string {
  return combs
    .map(({ engine, fundamentalHz }) => `${fundamentalHz.toFixed(0)} Hz with the engine ${engine}`)
    .join(', ');
}

function muting(findings: readonly Finding[]): string[] {
  const tapIds = findingsOf(findings, 'noise').flatMap((finding) =>
    finding.mutesInSilence ? finding.tapIds : [],
  );
  return tapIds.length === 0
    ? []
    : [`${tapIds.join(', ')}: muted in silence; noise is read under the quiet tone`];
}

function oneChannel(session: Session, outputs: readonly Tap[]): string[] {
  const takes = session.recordings.filter(({ kind }) => kind === 'takes');
  const alone = takes.every(({ channels }) => channels.filter((tapId) => tapId !== null).length === 1);
  return alone && outputs.length > 1
    ? [
        `one channel at a time: arrival times and polarity of ${outputs.map(({ id }) => id).join(', ')} do not compare, and sums get a best and a worst case; to know, record two outputs together`,
      ]
    : [];
}

function uncalibrated({ calibration }: Session, outputs: readonly Tap[]): string[] {
  return calibration.kind === 'none' && outputs.length > 0
    ? [
        'no calibration: everything is told but volts; to have them, note the pad and the recorder’s full-scale volts, or record a steady tone whose volts a meter reads',
      ]
    : [];
}
