import { followsLevel } from '../findings/withheld/automatic-gain.ts';
import { isMicrophone } from '../findings/withheld/microphone.ts';
import type { ChannelFacts, Remark, TakeFacts } from '../model/check.ts';
import type { Session, Tap } from '../model/session.ts';
import { channelRemarks } from './channel-remarks.ts';

/** Two clocks of 50 ppm class differ by 100 (common practice). */
const USUAL_CLOCK_PPM = 300;
/** A higher setting that is quieter by this is another setting than the notes say. */
const AGAINST_ORDER_DB = 0.5;
/** Repeats of one setting agree better (tests/faults); a radio that follows speed or engine moves in steps of 1 dB and more. */
const REPEATS_DIFFER_DB = 0.5;

/** What is to be said of one take among all of a session. */
export function takeRemarks(of: { take: TakeFacts; all: readonly TakeFacts[]; session: Session }): Remark[] {
  const { take } = of;
  const automatic = automaticGain(of);
  const spoilt = new Set(automatic.flatMap(({ tapIds }) => tapIds));
  return [
    ...automatic,
    ...take.channels
      .flatMap((channel) => channelRemarks(take, withoutRoom(withoutUnheard(channel, take), of.session)))
      .filter(({ code, tapIds }) => !(FOLLOWS_FROM_GAIN.includes(code) && spoilt.has(tapIds[0]))),
    ...labels(of),
    ...order(of),
    ...missingSections(take),
    ...clock(take),
    ...doubled(of),
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

/** A room lifts and lowers the steady tones of the lead-in against the sweeps. */
function withoutRoom(channel: ChannelFacts, { taps }: Session): ChannelFacts {
  const tap = taps.find(({ id }) => id === channel.tapId);
  return tap !== undefined && isMicrophone(tap) ? { ...channel, leadInExcessDb: null } : channel;
}

/** What a gain that moves by itself is taken for; said of such a tap, it would lead astray. */
const FOLLOWS_FROM_GAIN: readonly Remark['code'][] = [
  'gain-changed',
  'knock',
  'announcement',
  'muted-start',
  'noisy',
];

/** Labels that the routing contradicts: left and right exchanged, or a side that the tap does not carry. */
function labels({ take, session }: { take: TakeFacts; session: Session }): Remark[] {
  const wrong = take.channels.flatMap((channel) => {
    const tap = session.taps.find(({ id }) => id === channel.tapId);
    return tap !== undefined && contradicts(tap, channel.carries) ? [{ tap, channel }] : [];
  });
  const partner = ({ tap, channel }: (typeof wrong)[number]) =>
    wrong.find((other) => other.channel.carries === tap.side && other.tap.side === channel.carries);
  return wrong.flatMap((one, i): Remark[] => {
    const exchanged = partner(one);
    if (exchanged !== undefined && wrong.indexOf(exchanged) < i && partner(exchanged) === one) return [];
    const { tap, channel } = one;
    return [
      exchanged === undefined
        ? {
            code: 'wrong-side',
            weight: 'settle',
            tapIds: [tap.id],
            text: `${tap.id}: the notes say ${tap.side}, the channel carries ${channel.carries}`,
          }
        : {
            code: 'channels-swapped',
            weight: 'settle',
            tapIds: [tap.id, exchanged.tap.id],
            text: `${tap.id} carries ${channel.carries} and ${exchanged.tap.id} carries ${exchanged.channel.carries}: channels swapped against the notes, or wires crossed`,
          },
    ];
  });
}

function contradicts({ side }: Tap, carries: ChannelFacts['carries']): boolean {
  if (carries === 'nothing' || side === 'unknown') return false;
  return side === 'both' ? carries !== 'left and right' : carries !== side;
}

/** Gain that follows the level at all settings of a tap: no take of it says how loud anything is. */
function automaticGain({ take, all }: { take: TakeFacts; all: readonly TakeFacts[] }): Remark[] {
  return take.channels.flatMap(({ tapId }): Remark[] => {
    const spreads = all.flatMap(({ setting, channels }) =>
      channels
        .filter((channel) => setting !== null && channel.tapId === tapId)
        .map(({ ladderSpreadDb: spreadDb, leadInExcessDb = null }) => ({
          setting: setting!,
          spreadDb,
          leadInExcessDb,
        })),
    );
    return followsLevel(spreads)
      ? [
          {
            code: 'automatic-gain',
            weight: 'record again',
            tapIds: [tapId],
            text: `${tapId}: the gain follows the level at every setting: switch the recorder’s automatic gain off`,
          },
        ]
      : [];
  });
}

/** A tap that is quieter at this setting than at a lower one of the same file or another. */
function order({ take, all }: { take: TakeFacts; all: readonly TakeFacts[] }): Remark[] {
  const { setting } = take;
  if (setting === null) return [];
  return take.channels.flatMap((channel): Remark[] => {
    const { levelDbFs } = channel;
    if (levelDbFs === null) return [];
    const louder = all.find(
      (other) =>
        other.setting !== null &&
        other.setting < setting &&
        other.channels.some(
          ({ tapId, levelDbFs: level }) =>
            tapId === channel.tapId && level !== null && level > levelDbFs + AGAINST_ORDER_DB,
        ),
    );
    return louder === undefined
      ? []
      : [
          {
            code: 'level-against-order',
            weight: 'settle',
            tapIds: [channel.tapId],
            text: `${channel.tapId}: quieter than the take at setting ${louder.setting} (${louder.file}): is the setting right, and was the recorder’s gain left alone?`,
          },
        ];
  });
}

function missingSections({ missingSections: missing, channels }: TakeFacts): Remark[] {
  if (missing.length === 0) return [];
  const hears = (carries: ChannelFacts['carries']) =>
    missing.some(
      (id) => !(carries === 'left' && id.endsWith('right')) && !(carries === 'right' && id.endsWith('left')),
    );
  return [
    {
      code: 'section-missing',
      weight: 'record again',
      tapIds: channels.filter(({ carries }) => hears(carries)).map(({ tapId }) => tapId),
      text: `${missing.join(', ')} not heard: recording began late, or was covered by something else`,
    },
  ];
}

function clock({ clockPpm }: TakeFacts): Remark[] {
  if (clockPpm === null)
    return [
      { code: 'clock-unknown', weight: 'note', tapIds: [], text: 'the two clocks could not be compared' },
    ];
  return Math.abs(clockPpm.value) > USUAL_CLOCK_PPM
    ? [
        {
          code: 'clock-far',
          weight: 'note',
          tapIds: [],
          text: `player and recorder differ by ${clockPpm.value.toFixed(0)} ppm, which is corrected`,
        },
      ]
    : [];
}

function doubled({ take, all }: { take: TakeFacts; all: readonly TakeFacts[] }): Remark[] {
  const taps = (facts: TakeFacts) => facts.channels.map(({ tapId }) => tapId).join('\n');
  const earlier = all
    .slice(0, all.indexOf(take))
    .find((other) => other.setting === take.setting && taps(other) === taps(take));
  if (earlier === undefined || take.setting === null) return [];
  const differsDb = largestLevelDifferenceDb(take, earlier);
  const where = `repeats ${earlier.file} at ${earlier.takeStartSeconds.toFixed(1)} s`;
  return [
    differsDb > REPEATS_DIFFER_DB
      ? {
          code: 'repeats-differ',
          weight: 'settle',
          tapIds: [],
          text: `${where}, but its level differs by ${differsDb.toFixed(1)} dB: was the volume or the recorder touched, or does the radio follow the engine or the speed?`,
        }
      : { code: 'doubled', weight: 'note', tapIds: [], text: `${where}: the two are averaged` },
  ];
}

function largestLevelDifferenceDb(one: TakeFacts, other: TakeFacts): number {
  const differences = one.channels.map(({ levelDbFs }, i) => {
    const theirs = other.channels[i].levelDbFs;
    return levelDbFs === null || theirs === null ? 0 : Math.abs(levelDbFs - theirs);
  });
  return Math.max(0, ...differences);
}
