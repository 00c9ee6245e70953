import type { DoubtKind } from '../../model/doubt.ts';
import type { Finding, FindingOf } from '../../model/finding.ts';
import { isNotMeasurable, type MeasuredOrReason, type NotMeasurable } from '../../model/measured.ts';

/** What is left of a finding under a doubt that touches all of the takes it rests on: null where nothing is. */
type Taking<Kind extends Finding['kind']> = (
  finding: FindingOf<Kind>,
  because: NotMeasurable,
) => FindingOf<Kind> | null;
type Row<Kind extends Finding['kind']> = Readonly<Record<DoubtKind, Taking<Kind>>>;

/** A car is no laboratory: people, windows and a phone that was touched between takes (common practice), 95 %. */
const CABIN_PLUS_MINUS_DB = 0.5;

const keeps = <Kept>(finding: Kept) => finding;
const drops = () => null;

/**
 * The one table of what withholds what: a row for each kind of finding, an entry for each kind of doubt; the compiler asks for
 * those of a new kind. Reasons and numbers go alike, so that no name claims what its numbers withhold.
 */
const TABLE: { readonly [Kind in Finding['kind']]: Row<Kind> } = {
  'bass-change': {
    take: bassWithheld,
    setting: bassWithheld,
    gain: bassWithheld,
    // Cabin and microphone cancel in the ratio between settings; so do a coupling and a calibration.
    microphone: (finding) => ({ ...finding, changes: lessCertain(finding.changes) }),
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  'loudness-contour': {
    take: drops,
    setting: drops,
    gain: drops,
    microphone: (finding) => ({ ...finding, changes: lessCertain(finding.changes) }),
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  'bass-limiter': {
    take: drops,
    setting: drops,
    gain: drops,
    microphone: limiterWithoutVolts,
    volts: limiterWithoutVolts,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  band: {
    take: bandWithheld,
    setting: keeps,
    gain: bandWithheld,
    microphone: bandWithheld,
    volts: keeps,
    arrival: keeps,
    'low end': bandOfRadioOrRecorder,
    limit: keeps,
  },
  crossover: {
    take: drops,
    setting: keeps,
    gain: drops,
    microphone: drops,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  // Which side a tap carries is plain in any take; the check asks about those that contradict each other.
  routing: {
    take: keeps,
    setting: keeps,
    gain: keeps,
    microphone: keeps,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  timing: {
    take: timingWithheld,
    setting: keeps,
    gain: keeps,
    microphone: timingWithheld,
    volts: keeps,
    arrival: timingWithheld,
    'low end': keeps,
    limit: keeps,
  },
  'volume-law': {
    take: drops,
    setting: drops,
    gain: drops,
    microphone: lawWithoutVolts,
    volts: lawWithoutVolts,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  clipping: {
    take: clippingWithheld,
    setting: clippingWithheld,
    gain: clippingWithheld,
    microphone: clippingWithheld,
    volts: (finding, because) => ({
      ...finding,
      perSetting: finding.perSetting.map((row) => ({ ...row, voltsRms: because })),
    }),
    arrival: keeps,
    'low end': keeps,
    limit: (finding) => (clips(finding) ? { ...finding, mayBeRecorder: true } : finding),
  },
  'clean-settings': {
    take: cleanWithheld,
    setting: cleanWithheld,
    gain: cleanWithheld,
    microphone: cleanWithheld,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  'recorder-clipping': {
    take: keeps,
    setting: keeps,
    gain: keeps,
    microphone: keeps,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  // Its own volts stay: they are what the doubt about all others rests on.
  rail: {
    take: drops,
    setting: keeps,
    gain: drops,
    microphone: drops,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  noise: {
    take: drops,
    setting: drops,
    gain: drops,
    microphone: drops,
    volts: noiseWithoutVolts,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  'common-ceiling': {
    take: drops,
    setting: keeps,
    gain: drops,
    microphone: drops,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
  // Made of takes that are in no doubt, or says why there are none.
  'other-source': {
    take: keeps,
    setting: keeps,
    gain: keeps,
    microphone: keeps,
    volts: keeps,
    arrival: keeps,
    'low end': keeps,
    limit: keeps,
  },
};

/** Whether findings of a kind rest on what a doubt of a kind takes. */
export function restsOn(kind: Finding['kind'], doubt: DoubtKind): boolean {
  return TABLE[kind][doubt] !== keeps;
}

/** What a doubt of some kind leaves of a finding; null where that is nothing. */
export function leftOf<Kind extends Finding['kind']>(
  finding: FindingOf<Kind>,
  { kind, because }: { kind: DoubtKind; because: NotMeasurable },
): FindingOf<Kind> | null {
  return (TABLE[finding.kind as Kind] as Row<Kind>)[kind](finding, because);
}

function bassWithheld(finding: FindingOf<'bass-change'>, because: NotMeasurable): FindingOf<'bass-change'> {
  const { atLeast: _, ...rest } = finding;
  return {
    ...rest,
    verdict: 'cannot be told',
    reason: because.notMeasurable,
    plateauSettings: [],
    changes: [],
    onset: null,
    shape: null,
    recordNext: null,
  };
}

function lessCertain(changes: FindingOf<'bass-change'>['changes']): FindingOf<'bass-change'>['changes'] {
  const widened = (value: MeasuredOrReason) =>
    isNotMeasurable(value)
      ? value
      : { ...value, plusMinus: Math.hypot(value.plusMinus, CABIN_PLUS_MINUS_DB) };
  return changes.map((row) => ({ ...row, changeDb: row.changeDb.map(widened) }));
}

function limiterWithoutVolts(
  finding: FindingOf<'bass-limiter'>,
  because: NotMeasurable,
): FindingOf<'bass-limiter'> {
  return { ...finding, perSetting: finding.perSetting.map((row) => ({ ...row, levelVoltsRms: because })) };
}

function bandWithheld(finding: FindingOf<'band'>, because: NotMeasurable): FindingOf<'band'> {
  const { lowEdgeMayBeRecorder: _, ...rest } = finding;
  const reason = because.notMeasurable;
  return {
    ...rest,
    verdict: 'cannot be told',
    reason,
    lowEdge: null,
    highEdge: null,
    fixedEq: [],
    fixedEqReason: reason,
  };
}

/** From here on a low edge is a matter for the plan: below it a band is as good as whole (common practice). */
const MATTERS_FROM_HZ = 60;

/** The edge stays, for it was measured; that it is the radio's is not said. */
function bandOfRadioOrRecorder(finding: FindingOf<'band'>, because: NotMeasurable): FindingOf<'band'> {
  const { lowEdge, highEdge } = finding;
  if (lowEdge === null) return finding;
  const doubted = { ...finding, lowEdgeMayBeRecorder: true };
  const matters = isNotMeasurable(lowEdge.minus3Hz) || lowEdge.minus3Hz.value > MATTERS_FROM_HZ;
  return matters && highEdge === null
    ? { ...doubted, verdict: 'cannot be told', reason: because.notMeasurable }
    : doubted;
}

function timingWithheld(finding: FindingOf<'timing'>, because: NotMeasurable): FindingOf<'timing'> {
  return { ...finding, delaySeconds: because, polarity: 'ambiguous', reason: because.notMeasurable };
}

function lawWithoutVolts(finding: FindingOf<'volume-law'>, because: NotMeasurable): FindingOf<'volume-law'> {
  return { ...finding, levels: finding.levels.map((row) => ({ ...row, voltsRms: because })) };
}

function clippingWithheld(finding: FindingOf<'clipping'>, because: NotMeasurable): FindingOf<'clipping'> {
  return {
    ...finding,
    perSetting: finding.perSetting.map(({ setting }) => ({ setting, driveDbFs: because, voltsRms: because })),
    place: 'cannot be told',
  };
}

function cleanWithheld({
  asLoudAsPlayed: _,
  ...finding
}: FindingOf<'clean-settings'>): FindingOf<'clean-settings'> {
  return { ...finding, highestCleanRecorded: null, firstClippingRecorded: null, highestCleanComputed: null };
}

function clips({ perSetting, place }: FindingOf<'clipping'>): boolean {
  return (
    place !== 'before the volume control' && perSetting.some(({ driveDbFs }) => !isNotMeasurable(driveDbFs))
  );
}

function noiseWithoutVolts(finding: FindingOf<'noise'>, because: NotMeasurable): FindingOf<'noise'> {
  return {
    ...finding,
    perSetting: finding.perSetting.map((row) => ({ ...row, underQuietToneVolts: because })),
    ...(finding.takes === undefined
      ? {}
      : { takes: finding.takes.map((take) => ({ ...take, levelVolts: because })) }),
  };
}
