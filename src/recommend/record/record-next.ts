import { findingsOf } from '../../model/finding.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import { reasonText } from '../../words/reason-text.ts';
import type { HighestClean } from '../chain/highest-clean-setting.ts';
import type { Feed } from '../feeds/feed.ts';
import type { PlanContext } from '../plan-context.ts';

type RecordNext = RecommendationOf<'record-next'>;

/** What another take would settle; first what gains or wiring have to wait for. */
export function recordNext(
  context: PlanContext,
  { feeds, clean }: { feeds: readonly Feed[]; clean: HighestClean },
): RecordNext[] {
  const items = [
    ...oneLeg(context),
    ...linkingTakes(feeds),
    ...louder(context, clean),
    ...onsets(context),
    ...loopTake(context),
    ...largerPad(context),
    ...bracket(clean),
  ];
  return sameTakeOnce(items)
    .sort((a, b) => Number(b.blocks) - Number(a.blocks))
    .map((item, i) => ({ kind: 'record-next', id: `record-next-${i + 1}`, order: 0, ...item }));
}

type Item = Omit<RecordNext, 'kind' | 'id' | 'order'>;

/** Several taps may ask for the same take. */
function sameTakeOnce(items: readonly Item[]): Item[] {
  const takes = [...new Set(items.map(({ what }) => what))];
  return takes.map((what) => {
    const asking = items.filter((item) => item.what === what);
    const all = <Value>(of: (item: Item) => readonly Value[]) => [...new Set(asking.flatMap(of))];
    return {
      what,
      restsOn: all(({ restsOn }) => restsOn),
      reasons: all(({ reasons }) => reasons),
      tapIds: all(({ tapIds }) => tapIds),
      settings: all(({ settings }) => settings),
      blocks: asking.some(({ blocks }) => blocks),
    };
  });
}

function oneLeg({ voltsWithheld, findings }: PlanContext): Item[] {
  if (voltsWithheld === null) return [];
  const rails = findingsOf(findings, 'rail').filter(({ question }) => question !== null);
  return [
    {
      restsOn: rails.map(({ id }) => id),
      reasons: [voltsWithheld, 'no volts are given until this is settled'],
      what: 'measure the calibration tone across both wires of the pair, or correct the pad',
      tapIds: rails.flatMap(({ tapIds }) => tapIds),
      settings: [],
      blocks: true,
    },
  ];
}

function linkingTakes(feeds: readonly Feed[]): Item[] {
  return feeds.flatMap(({ unknownTiming, taps, setting, id }) =>
    unknownTiming === null
      ? []
      : [
          {
            restsOn: [],
            reasons: [
              `recorded one after the other, the taps of ${id} may add in full or cancel by ${(-unknownTiming.worstDipDb).toFixed(0)} dB`,
            ],
            what: reasonText(unknownTiming.recordNext),
            tapIds: taps.map(({ tapId }) => tapId),
            settings: [setting],
            blocks: true,
          },
        ],
  );
}

function louder(
  { session, measurements }: PlanContext,
  { recorded, firstClippingRecorded, untold, limitingTapId, restsOn }: HighestClean,
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
        what: `record setting ${unread.join(', ')}`,
        tapIds,
        settings: unread,
        blocks: true,
      },
    ];
  if (untold?.because === 'noise') {
    const [first] = untold.settings;
    return [
      {
        restsOn,
        reasons: [`above setting ${recorded} noise hides whether it clips`],
        what: `record setting ${first} again with less noise (a smaller pad, or more gain at the recorder)`,
        tapIds,
        settings: [first],
        blocks: false,
      },
    ];
  }
  const reason =
    untold === undefined
      ? `nothing clipped up to setting ${top}: how much further it goes is not known`
      : `at setting ${untold.settings[0]} the tap’s most boosted frequency is louder than any tone that was played`;
  return [
    {
      restsOn,
      reasons: [reason],
      what: `record a setting above ${top}, if the radio has one (speakers unplugged or a load connected)`,
      tapIds,
      settings: [],
      blocks: false,
    },
  ];
}

function onsets({ findings }: PlanContext): Item[] {
  return findingsOf(findings, 'bass-change').flatMap(({ recordNext: setting, id, tapIds, onset }) =>
    setting === null || onset === null
      ? []
      : [
          {
            restsOn: [id],
            reasons: [
              `the bass begins to fall somewhere between setting ${onset.lastIntact} and ${onset.firstChanged}`,
            ],
            what: `record setting ${setting}`,
            tapIds: [...tapIds],
            settings: [setting],
            blocks: false,
          },
        ],
  );
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
          reasons: [
            'the lowest bass falls alike at every tap and setting: the recorder’s own input may lose it',
          ],
          what: 'record the loop take, the player straight into the same pad, adapter and recorder',
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
          reasons: [
            'it clips just below the recorder’s full scale at every tap: the recorder’s own input may do it',
          ],
          what: 'record the setting that clips once more with a larger pad, as a session of its own',
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
  if (recorded === null || firstClippingRecorded === null || computed === null) return [];
  const between = Math.floor(computed);
  if (between <= recorded || between >= firstClippingRecorded) return [];
  return [
    {
      restsOn,
      reasons: [`by the volume law setting ${between} should still be clean`],
      what: `record setting ${between} to prove it`,
      tapIds: limitingTapId === null ? [] : [limitingTapId],
      settings: [between],
      blocks: false,
    },
  ];
}
