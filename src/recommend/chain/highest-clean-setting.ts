import { ratioOf } from '../../dsp/decibels.ts';
import { cleanWithMusic } from '../../model/clipping-findings.ts';
import { type FindingOf, findingsOf } from '../../model/finding.ts';
import { gridSpan, valueAt } from '../../model/frequency-grid.ts';
import { type MeasuredOrReason, measured, type NotMeasurable, notMeasurable } from '../../model/measured.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf, FeedTap } from '../../model/recommendation.ts';
import { middleLevelDb } from '../feeds/flatness.ts';
import { flooredDb } from '../feeds/predict-sum.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import { feedLevel } from './tap-level.ts';

export type HighestClean = AdviceOf<'highest-clean-setting'>;

/** The worst of the taps in use decides: one clipping channel is heard. */
export function highestCleanSetting(context: PlanContext, tapIds: readonly string[]): HighestClean {
  const findings = findingsAbout(context, 'clean-settings', tapIds).filter(wasJudged);
  const clipping = findingsAbout(
    context,
    'clipping',
    findings.flatMap((finding) => finding.tapIds),
  );
  const base = {
    kind: 'highest-clean-setting' as const,
    id: 'highest-clean-setting',
    restsOn: idsOf([...findings, ...clipping, ...findingsOf(context.findings, 'rail')]),
    reasons: reasonsFor(clipping),
  };
  const limiting = [...findings].sort(
    (a, b) => byCleanSetting(a, b) || loudness(context, b, tapIds) - loudness(context, a, tapIds),
  )[0];
  if (limiting === undefined) {
    const none = nothingJudged(findingsAbout(context, 'clean-settings', tapIds));
    return {
      ...base,
      recorded: null,
      firstClippingRecorded: null,
      computed: null,
      limitingTapId: null,
      atHz: null,
      voltsRms: none,
      midBandVoltsRms: none,
      basis: { code: 'no take for it' },
    };
  }
  const recorded = cleanWithMusic(limiting);
  const firstClippingRecorded = lowest(findings.map((finding) => finding.firstClippingRecorded));
  const notJudged = tapIds.filter((id) => !findings.some((finding) => finding.tapIds.includes(id)));
  const isOpen = (setting: number) =>
    recorded !== null && setting > recorded && setting < (firstClippingRecorded ?? Number.POSITIVE_INFINITY);
  const openAbove = limiting.notKnown?.settings.filter(isOpen) ?? [];
  const limitingTapId = limiting.tapIds.find((id) => tapIds.includes(id))!;
  const voltsAt = (frequencyHz: number | null) =>
    tapVolts(context, { tapId: limitingTapId, setting: recorded, frequencyHz });
  return {
    ...base,
    recorded,
    firstClippingRecorded,
    ...(notJudged.length === 0 ? {} : { notJudged }),
    ...(limiting.notKnown !== undefined && openAbove.length > 0
      ? { notKnown: { ...limiting.notKnown, settings: openAbove } }
      : {}),
    ...(limiting.asLoudAsPlayed === undefined ? {} : { asLoudAsPlayed: limiting.asLoudAsPlayed }),
    computed: lowest(findings.map(({ highestCleanComputed }) => highestCleanComputed)),
    limitingTapId,
    atHz: limiting.mostBoostedHz,
    voltsRms: voltsAt(limiting.mostBoostedHz),
    midBandVoltsRms: voltsAt(null),
    basis: { code: 'clean at the most boosted frequency' },
  };
}

/** RMS volts of a tap for a full-scale tone; at 1 kHz, or in the middle of its own band, where no frequency is given. */
export function tapVolts(
  context: PlanContext,
  { tapId, setting, frequencyHz }: { tapId: string; setting: number | null; frequencyHz: number | null },
): MeasuredOrReason {
  if (setting === null) return notMeasurable({ code: 'no clean setting was recorded' });
  if (context.voltsWithheld !== null)
    return notMeasurable(context.voltsWithheld, { code: 'measure across the pair' });
  const level = feedLevel(context, [asWired(tapId)], setting);
  if (level === null) return notMeasurable({ code: 'tap was not recorded' });
  if (!level.inVolts) {
    return notMeasurable({ code: 'recordings without volts' }, { code: 'read a tone on a meter' });
  }
  const value = frequencyHz === null ? midBandLevel(level.level) : valueAt(level.level, frequencyHz);
  return measured({ value, plusMinus: value * level.relativePlusMinus });
}

/** The level at 1 kHz, or the middle of the band of a tap that does not reach there. */
export function midBandLevel(level: Float64Array): number {
  const middle = ratioOf(middleLevelDb(flooredDb(level), gridSpan([20, 20_000])));
  const atOneKilohertz = valueAt(level, 1000);
  return atOneKilohertz > middle / 2 ? atOneKilohertz : middle;
}

/** Where neither a clean nor a clipping setting is known, nothing was judged. */
function wasJudged(finding: FindingOf<'clean-settings'>): boolean {
  return cleanWithMusic(finding) !== null || finding.firstClippingRecorded !== null;
}

/** A test that was recorded and is in doubt, or drowned in noise, is not one that nobody recorded. */
function nothingJudged(findings: readonly FindingOf<'clean-settings'>[]): NotMeasurable {
  if (findings.length === 0)
    return notMeasurable({ code: 'no clipping test' }, { code: 'record the full track' });
  const doubt = findings.flatMap(({ doubts = [] }) => doubts).at(0);
  return notMeasurable(doubt?.reason ?? { code: 'no clean setting known' });
}

function byCleanSetting(a: FindingOf<'clean-settings'>, b: FindingOf<'clean-settings'>): number {
  const order = (setting: number | null, missing: number) => setting ?? missing;
  return (
    order(cleanWithMusic(a), Number.MIN_SAFE_INTEGER) - order(cleanWithMusic(b), Number.MIN_SAFE_INTEGER) ||
    order(a.highestCleanComputed, Number.MAX_SAFE_INTEGER) -
      order(b.highestCleanComputed, Number.MAX_SAFE_INTEGER)
  );
}

/** Of taps that clip together the loudest is named: a tweeter’s tap has no volts to read at a low tone. */
function loudness(
  context: PlanContext,
  finding: FindingOf<'clean-settings'>,
  tapIds: readonly string[],
): number {
  const tapId = finding.tapIds.find((id) => tapIds.includes(id))!;
  const setting = cleanWithMusic(finding);
  const level = setting === null ? null : feedLevel(context, [asWired(tapId)], setting);
  return level === null ? 0 : Math.round(100 * valueAt(level.level, LOW_TONE_HZ));
}

/** The tone that a meter reads at a tap (see the meter tones of the track). */
const LOW_TONE_HZ = 100;

function reasonsFor(findings: readonly FindingOf<'clipping'>[]): Reason[] {
  const places = new Set(findings.map(({ place }) => place));
  return [
    { code: 'the worst tap decides' },
    ...(places.has('before the volume control')
      ? [{ code: 'a stage before the volume clips' as const }]
      : []),
    { code: 'holds for the source played' },
  ];
}

function lowest(settings: readonly (number | null)[]): number | null {
  const known = settings.filter((setting) => setting !== null);
  return known.length === 0 ? null : Math.min(...known);
}

function asWired(tapId: string): FeedTap {
  return { tapId, polarity: 'as wired', trimDb: 0, delaySeconds: 0 };
}
