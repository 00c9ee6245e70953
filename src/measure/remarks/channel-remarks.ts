import type { ChannelFacts, Remark, TakeFacts } from '../../model/check.ts';
import type { Reason } from '../../model/reason.ts';
import type { SectionId } from '../../tones/track.ts';
import { LEAD_IN_LACKS_DB } from '../disturbances/lead-in-gain.ts';

/** Less than this below the recorder's full scale may hide where the radio clips (common practice). */
export const HEADROOM_DB = 1;
/** A loudest step below this leaves the quiet ones in the recorder's noise (common practice). */
export const LOW_PEAK_DB_FS = -50;
/** Drives above this are those at which radios begin to clip: a recorder that clips there hides the onset. */
const CLIP_HIDES_ONSET_DB_FS = -3;
/** A change of gain below this is wander of a warm radio; the bass of a take would be wrong by half of it. */
const GAIN_CHANGE_DB = 0.3;
const LADDER_SPREAD_DB = 0.5;
/** What the measuring bounds are stated for (tests/faults). */
const GOOD_SNR_DB = 40;
const LEAST_SNR_DB = 20;
/** What a fade-in covers below this is not worth another take: losses are told from 40 Hz on. */
const BASS_FROM_HZ = 30;
/** What a knock covers above this is not worth another take: outputs part below (common practice). */
const TREBLE_FROM_HZ = 10_000;
/** Hardly any headroom is lost below this, and coupling capacitors hide it. */
const DC_OFFSET = 0.02;

/** What is to be said of one channel of one take. */
export function channelRemarks(take: TakeFacts, channel: ChannelFacts): Remark[] {
  return said(take, channel).map(([weight, reason]) => ({ weight, tapIds: [channel.tapId], reason }));
}

type Said = readonly [weight: Remark['weight'], reason: Reason];

function said(take: TakeFacts, channel: ChannelFacts): Said[] {
  if (channel.carries === 'nothing') return [['record again', { code: 'nothing on this channel' }]];
  if (channel.sameAsTapId !== null)
    return [['record again', { code: 'same signal as another output', tapId: channel.sameAsTapId }]];
  return [
    ...(channel.isStill ? [['record again', { code: 'silent to the last bit' }] as const] : []),
    ...clipping(take, channel),
    ...level(channel),
    ...gain(channel),
    ...tones(channel),
    ...start(channel),
    ...knocks(channel),
    ...announcements(channel),
  ];
}

function clipping({ track }: TakeFacts, channel: ChannelFacts): Said[] {
  const { clippedRuns: times, sweepsClipped = 0, clippedFromDriveDbFs: fromDriveDbFs, peakDbFs } = channel;
  if (sweepsClipped > 0)
    return [['record again', { code: 'recorder clipped in a sweep', times: sweepsClipped }]];
  if (times === 0)
    return peakDbFs > -HEADROOM_DB
      ? [['note', { code: 'little headroom', headroomDb: rounded(-peakDbFs, 1) }]]
      : [];
  if (track === 'response only' || fromDriveDbFs === null)
    return [['record again', { code: 'recorder clipped in a sweep', times }]];
  return [
    [
      fromDriveDbFs <= CLIP_HIDES_ONSET_DB_FS ? 'record again' : 'note',
      { code: 'recorder clipped on the ladder', fromDriveDbFs },
    ],
  ];
}

function level({ levelDbFs, peakDbFs, noiseDbFs, dcOffset }: ChannelFacts): Said[] {
  const snrDb = levelDbFs === null || noiseDbFs === null ? null : levelDbFs - noiseDbFs;
  const found: (Said | null)[] = [
    peakDbFs < LOW_PEAK_DB_FS ? ['note', { code: 'low level', peakDbFs: rounded(peakDbFs, 0) }] : null,
    snrDb !== null && snrDb < GOOD_SNR_DB
      ? [
          snrDb < LEAST_SNR_DB ? 'record again' : 'note',
          { code: 'little above the noise', snrDb: rounded(snrDb, 0) },
        ]
      : null,
    Math.abs(dcOffset) > DC_OFFSET
      ? ['note', { code: 'offset at the recorder', percent: rounded(100 * dcOffset, 0) }]
      : null,
  ];
  return found.filter((one) => one !== null);
}

function gain({ gainChangeDb, ladderSpreadDb }: ChannelFacts): Said[] {
  if (gainChangeDb !== null && Math.abs(gainChangeDb.value) > GAIN_CHANGE_DB + gainChangeDb.plusMinus)
    return [
      ['record again', { code: 'gain changed within the take', changeDb: rounded(gainChangeDb.value, 1) }],
    ];
  return ladderSpreadDb !== null && ladderSpreadDb > LADDER_SPREAD_DB
    ? [['note', { code: 'gain differs along the ladder', spreadDb: rounded(ladderSpreadDb, 1) }]]
    : [];
}

function tones({ tonesAgainstSweep: tones = [] }: ChannelFacts): Said[] {
  return tones.map(({ toneHz, differsDb }) => [
    'record again',
    { code: 'tone does not follow the sweeps', toneHz, differsDb: rounded(differsDb, 1) },
  ]);
}

function start({ mutedUpToHz: upToHz, leadInExcessDb = null }: ChannelFacts): Said[] {
  if (upToHz !== null)
    return [
      upToHz > BASS_FROM_HZ
        ? ['record again', { code: 'muted at the start', upToHz: rounded(upToHz, 0) }]
        : ['note', { code: 'fading in under the sweep', upToHz: rounded(upToHz, 0) }],
    ];
  return leadInExcessDb !== null && leadInExcessDb < LEAD_IN_LACKS_DB
    ? [['note', { code: 'fading in under the lead-in', lacksDb: rounded(-leadInExcessDb, 1) }]]
    : [];
}

/** Below the bass a sweep only begins: a limiter that sets in with it looks like a knock, and no loss is told from there. */
function knocks({ knocks: all }: ChannelFacts): Said[] {
  return all
    .filter(({ spoiltHz }) => spoiltHz === null || spoiltHz[1] > BASS_FROM_HZ)
    .map(({ section, atSeconds, spoiltHz }) => [
      spoiltHz === null || spoiltHz[0] > TREBLE_FROM_HZ ? 'note' : 'record again',
      { code: 'knock', section, atSeconds, spoiltHz },
    ]);
}

/** The closing sweeps stand in for the opening ones, and noise is read beside it; nothing stands in for the rest. */
function announcements({ announcements: heard = [] }: ChannelFacts): Said[] {
  return heard.map(({ fromSeconds, toSeconds, sections }) => [
    sections.every((id) => REPEATED_SECTIONS.includes(id)) ? 'note' : 'record again',
    { code: 'chime or voice', sections, fromSeconds, toSeconds },
  ]);
}

const REPEATED_SECTIONS = [
  'sweep left',
  'sweep right',
  'closing left',
  'closing right',
  'quiet tone',
  'silence',
] as const satisfies readonly SectionId[] as readonly string[];

/** As it is worded: what reads alike at several taps is said once. */
function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
