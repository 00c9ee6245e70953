import type { ChannelFacts, Remark, TakeFacts } from '../../model/check.ts';
import { codeOf, type Reason } from '../../model/reason.ts';
import type { Session } from '../../model/session.ts';
import { type SectionId, sideOfSection } from '../../tones/track.ts';
import { followsLevel } from '../recorder/follows-level.ts';
import { againstOrder } from './against-order.ts';
import { channelRemarks } from './channel-remarks.ts';
import { labelRemarks } from './label-remarks.ts';
import { repeatRemarks } from './repeat-remarks.ts';
import { unlikeTakes } from './unlike-takes.ts';

/** Two clocks of 50 ppm class differ by 100 (common practice). */
const USUAL_CLOCK_PPM = 300;

/** What is to be said of each take among all of a session, in the order of the takes. */
export function takeRemarks({ all, session }: { all: readonly TakeFacts[]; session: Session }): Remark[][] {
  const copies = new Set(all.flatMap(({ sameAs }) => (sameAs === undefined ? [] : [placeOf(sameAs)])));
  const own = all.filter(
    ({ sameAs, file, takeStartSeconds: atSeconds }) =>
      sameAs === undefined && !copies.has(placeOf({ file, atSeconds })),
  );
  const single = all.map((take) => remarksOnOne({ take, all, session }));
  const against = againstOrder(own.filter((take) => !single[all.indexOf(take)].some(isOfMovingGain)));
  const unlike = unlikeTakes(all);
  return all.map((take, t) => [
    ...single[t],
    ...(against.get(take) ?? []),
    ...(unlike.get(take) ?? []),
    ...repeatRemarks({ take, all }),
  ]);
}

/** A gain that moves by itself says at no setting how loud it is. */
function isOfMovingGain({ reason, weight }: Remark): boolean {
  const code = codeOf(reason);
  return (
    weight === 'record again' &&
    (code === 'gain changed within the take' || code === 'gain follows the level')
  );
}

function placeOf({ file, atSeconds }: { file: string; atSeconds: number }): string {
  return JSON.stringify([file, atSeconds]);
}

function remarksOnOne(of: { take: TakeFacts; all: readonly TakeFacts[]; session: Session }): Remark[] {
  const { take } = of;
  const automatic = automaticGain(of);
  const spoilt = new Set(automatic.flatMap(({ tapIds }) => tapIds));
  return [
    ...automatic,
    ...take.channels
      .flatMap((channel) => channelRemarks(take, withoutRoom(withoutUnheard(channel, take), of.session)))
      .filter(
        ({ reason, tapIds }) => !(isCaused(reason) && (take.timeSlip !== undefined || spoilt.has(tapIds[0]))),
      ),
    ...labelRemarks(of),
    ...missingSections(take),
    ...wildSamples(take),
    ...continuity(take),
    ...(isTorn(take) ? [] : clock(take)),
  ];
}

/** A section that was not heard is told as such; the cut that ends it is no knock, and no mute. */
function withoutUnheard(channel: ChannelFacts, { missingSections: missing }: TakeFacts): ChannelFacts {
  return {
    ...channel,
    knocks: channel.knocks.filter(({ section }) => !missing.includes(section)),
    mutedUpToHz: missing.includes('sweep left') ? null : channel.mutedUpToHz,
  };
}

/** A room lifts and lowers steady tones, those of the lead-in and of the ladders, against the sweeps. */
function withoutRoom(channel: ChannelFacts, { taps }: Session): ChannelFacts {
  const position = taps.find(({ id }) => id === channel.tapId)?.position;
  return position === 'microphone' ? { ...channel, leadInExcessDb: null, tonesAgainstSweep: [] } : channel;
}

/** What a gain that moves by itself, or lost samples, are taken for; said of such a tap, it would lead astray. */
const FOLLOWS_FROM_GAIN: readonly Reason['code'][] = [
  'gain changed within the take',
  'gain differs along the ladder',
  'tone does not follow the sweeps',
  'knock',
  'chime or voice',
  'muted at the start',
  'fading in under the sweep',
  'fading in under the lead-in',
  'little above the noise',
];

function isCaused(reason: Remark['reason']): boolean {
  return typeof reason !== 'string' && FOLLOWS_FROM_GAIN.includes(reason.code);
}

/** Gain that follows the level at all settings of a tap: no take of it says how loud anything is. */
function automaticGain({ take, all }: { take: TakeFacts; all: readonly TakeFacts[] }): Remark[] {
  return take.channels.flatMap(({ tapId }): Remark[] => {
    const spreads = all.flatMap(({ setting, channels }) =>
      channels
        .filter((one) => setting !== null && one.tapId === tapId && one.clippedRuns === 0)
        .map(({ ladderSpreadDb: spreadDb, leadInExcessDb = null }) => ({
          setting: setting!,
          spreadDb,
          leadInExcessDb,
        })),
    );
    return followsLevel(spreads)
      ? [{ weight: 'record again', tapIds: [tapId], reason: { code: 'gain follows the level' } }]
      : [];
  });
}

const CLOSING: readonly string[] = ['closing left', 'closing right'] satisfies SectionId[];

function missingSections({ missingSections: missing, channels }: TakeFacts): Remark[] {
  if (missing.length === 0) return [];
  // What is gated, or carries nothing, is told as that: no recording began late.
  const hears = ({ carries, isStill = false }: ChannelFacts) =>
    carries !== 'nothing' && !isStill && missing.some((id) => (sideOfSection(id) ?? carries) === carries);
  const heard = channels.filter(hears);
  if (heard.length === 0) return [];
  return [
    {
      weight: 'record again',
      tapIds: heard.map(({ tapId }) => tapId),
      reason: {
        code: missing.every((id) => CLOSING.includes(id)) ? 'stopped early' : 'sections not heard',
        sections: missing,
      },
    },
  ];
}

function wildSamples({ wild }: TakeFacts): Remark[] {
  return wild === undefined
    ? []
    : [
        {
          weight: 'record again',
          tapIds: [],
          reason: { code: 'samples that no recorder makes', ...wild },
        },
      ];
}

function continuity(take: TakeFacts): Remark[] {
  const { timeSlip: slip } = take;
  return [
    ...tornSections(take).map(
      (section): Remark => ({
        weight: 'record again',
        tapIds: [],
        reason: { code: 'sweeps contradict each other', section },
      }),
    ),
    ...(slip === undefined
      ? []
      : [
          {
            weight: 'record again' as const,
            tapIds: [],
            reason: { code: 'samples lost or added' as const, ...slip },
          },
        ]),
  ];
}

/** Lost samples are read as a difference of the clocks: nothing is to be said of it then. */
function isTorn(take: TakeFacts): boolean {
  return take.timeSlip !== undefined || tornSections(take).length > 0;
}

/** A voice or a knock in a sweep upsets its arrivals too: it is told as what it is. */
function tornSections({ tornSections: torn = [], channels }: TakeFacts): string[] {
  const disturbed = channels.flatMap(({ announcements = [], knocks }) => [
    ...announcements.flatMap(({ sections }) => sections),
    ...knocks.map(({ section }) => section),
  ]);
  return torn.filter((section) => !disturbed.includes(section));
}

function clock({ clockPpm }: TakeFacts): Remark[] {
  if (clockPpm === null) return [{ weight: 'note', tapIds: [], reason: { code: 'clocks not compared' } }];
  return Math.abs(clockPpm.value) > USUAL_CLOCK_PPM
    ? [{ weight: 'note', tapIds: [], reason: { code: 'clocks far apart', ppm: clockPpm.value } }]
    : [];
}
