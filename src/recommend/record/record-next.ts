import { awaitsReference } from '../../findings/bass/awaits-reference.ts';
import { loneLossOf } from '../../findings/bass/lone-loss.ts';
import { settingBetween } from '../../model/clipping-findings.ts';
import { findingsOf } from '../../model/finding.ts';
import { isSameReason, type Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import type { Feed } from '../feeds/feed.ts';
import type { PlanContext } from '../plan-context.ts';

type RecordNext = AdviceOf<'record-next'>;

/** What another take would settle; first what gains or wiring have to wait for. */
export function recordNext(
  context: PlanContext,
  {
    feeds,
    clean,
    isEnded = false,
  }: {
    feeds: readonly Feed[];
    clean: HighestClean;
    /** Whether a part ends the volume before the radio does: what the radio does above that is nobody's concern. */
    isEnded?: boolean;
  },
): RecordNext[] {
  const items = [
    ...oneLeg(context),
    ...linkingTakes(feeds),
    ...(isEnded ? [] : louder(context, clean)),
    ...bassSettings(context),
    ...loopTake(context),
    ...largerPad(context),
    ...(isEnded ? [] : bracket(clean)),
  ];
  return sameTakeOnce(items)
    .sort((a, b) => Number(b.blocks) - Number(a.blocks))
    .map((item, i) => ({ kind: 'record-next', id: `record-next-${i + 1}`, ...item }));
}

type Item = Omit<RecordNext, 'kind' | 'id' | 'order'>;

/** Several taps may ask for the same take. */
function sameTakeOnce(items: readonly Item[]): Item[] {
  const takes = eachOnce(items.map(({ what }) => what));
  return takes.map((what) => {
    const asking = items.filter((item) => isSameReason(item.what, what));
    const all = <Value>(of: (item: Item) => readonly Value[]) => [...new Set(asking.flatMap(of))];
    return {
      what,
      restsOn: all(({ restsOn }) => restsOn),
      reasons: eachOnce(asking.flatMap(({ reasons }) => reasons)),
      tapIds: all(({ tapIds }) => tapIds),
      settings: all(({ settings }) => settings),
      blocks: asking.some(({ blocks }) => blocks),
    };
  });
}

/** Reasons are data: two objects of the same code and figures are one reason. */
function eachOnce(reasons: readonly Reason[]): Reason[] {
  return reasons.filter((reason, i) => reasons.findIndex((other) => isSameReason(other, reason)) === i);
}

function oneLeg({ voltsWithheld, findings }: PlanContext): Item[] {
  if (voltsWithheld === null) return [];
  const rails = findingsOf(findings, 'rail').filter(({ question }) => question !== null);
  if (rails.length === 0) return [];
  return [
    {
      restsOn: rails.map(({ id }) => id),
      reasons: [voltsWithheld, { code: 'no volts until settled' }],
      what: { code: 'measure across the pair or correct the pad' },
      tapIds: rails.flatMap(({ tapIds }) => tapIds),
      settings: [],
      blocks: true,
    },
  ];
}

function linkingTakes(feeds: readonly Feed[]): Item[] {
  return feeds.flatMap(({ unknownTiming, taps, setting, id }): Item[] =>
    unknownTiming === null
      ? []
      : [
          {
            restsOn: [],
            reasons: [{ code: 'recorded one after the other', feedId: id, dipDb: -unknownTiming.worstDipDb }],
            what: unknownTiming.recordNext,
            tapIds: taps.map(({ tapId }) => tapId),
            settings: [setting],
            blocks: true,
          },
        ],
  );
}

function louder(
  { session, measurements }: PlanContext,
  { recorded, firstClippingRecorded, notKnown, limitingTapId, restsOn }: HighestClean,
): Item[] {
  const top = measurements.at(-1)?.setting;
  if (recorded === null || firstClippingRecorded !== null || top === undefined) return [];
  const tapIds = limitingTapId === null ? [] : [limitingTapId];
  const unread = session.settings.filter((setting) => setting > top);
  if (unread.length > 0)
    return [
      {
        restsOn,
        reasons: [{ code: 'listed and not read', settings: unread }],
        what: { code: 'record these settings', settings: unread },
        tapIds,
        settings: unread,
        blocks: true,
      },
    ];
  if (notKnown?.because === 'noise') {
    const [first] = notKnown.settings;
    return [
      {
        restsOn,
        reasons: [{ code: 'noise hides clipping above', setting: recorded }],
        what: { code: 'record a setting again with less noise', setting: first },
        tapIds,
        settings: [first],
        blocks: false,
      },
    ];
  }
  const reason: Reason =
    notKnown === undefined
      ? { code: 'nothing clipped up to', setting: top }
      : { code: 'most boosted is louder than any tone', setting: notKnown.settings[0] };
  return [
    {
      restsOn,
      reasons: [reason],
      what: { code: 'record a setting above', setting: top },
      tapIds,
      settings: [],
      blocks: false,
    },
  ];
}

/** What narrows an onset down; and what gives a loss the plateau that it is held against: until then nothing is restored or set. */
function bassSettings({ findings }: PlanContext): Item[] {
  return findingsOf(findings, 'bass-change').flatMap((finding): Item[] => {
    const { recordNext: setting, id, tapIds, onset, reason, plateauSettings } = finding;
    const lacksReference = plateauSettings.length === 0;
    const because: Reason =
      onset === null || lacksReference
        ? (reason ?? { code: 'no three settings agree' })
        : {
            code: 'bass falls somewhere between',
            lastIntact: onset.lastIntact,
            firstChanged: onset.firstChanged,
          };
    return setting === null
      ? []
      : [
          {
            restsOn: [id],
            reasons: [because],
            what: { code: 'record these settings', settings: [setting] },
            tapIds: [...tapIds],
            settings: [setting],
            blocks: awaitsReference(finding, findings) || loneLossOf(finding) !== null,
          },
        ];
  });
}

function loopTake({ findings }: PlanContext): Item[] {
  const doubted = findingsOf(findings, 'band').filter(
    ({ lowEdgeMayBeRecorder }) => lowEdgeMayBeRecorder === true,
  );
  return doubted.length === 0
    ? []
    : [
        {
          restsOn: doubted.map(({ id }) => id),
          reasons: [{ code: 'recorder may lose the lowest bass' }],
          what: { code: 'record the loop take' },
          tapIds: doubted.flatMap(({ tapIds }) => tapIds),
          settings: [],
          blocks: false,
        },
      ];
}

function largerPad({ findings }: PlanContext): Item[] {
  const doubted = findingsOf(findings, 'clipping').filter(({ mayBeRecorder }) => mayBeRecorder === true);
  return doubted.length === 0
    ? []
    : [
        {
          restsOn: doubted.map(({ id }) => id),
          reasons: [{ code: 'recorder’s input may clip' }],
          what: { code: 'record with a larger pad' },
          tapIds: [...new Set(doubted.flatMap(({ tapIds }) => tapIds))],
          settings: [],
          blocks: false,
        },
      ];
}

function bracket({
  recorded,
  firstClippingRecorded,
  computed,
  limitingTapId,
  restsOn,
}: HighestClean): Item[] {
  if (recorded === null || firstClippingRecorded === null) return [];
  const between = settingBetween({ clean: recorded, clips: firstClippingRecorded, computed });
  if (between === null) return [];
  return [
    {
      restsOn,
      reasons: [
        computed === null
          ? { code: 'clipping begins between', clean: recorded, clips: firstClippingRecorded }
          : { code: 'clean by the volume law', setting: between },
      ],
      what: { code: 'record a setting to prove it', setting: between },
      tapIds: limitingTapId === null ? [] : [limitingTapId],
      settings: [between],
      blocks: false,
    },
  ];
}
