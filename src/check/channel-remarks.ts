import { LEAD_IN_LACKS_DB } from '../measure/disturbances/lead-in-gain.ts';
import type { ChannelFacts, Remark, TakeFacts } from '../model/check.ts';
import type { SectionId } from '../tones/track.ts';

/** Thresholds of common practice, unless a test is named. */
const HEADROOM_DB = 1;
const LOW_PEAK_DB_FS = -50;
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

/** What is to be said of one channel of one take; the wording of the check lives here and in `take-remarks.ts`. */
export function channelRemarks(take: TakeFacts, channel: ChannelFacts): Remark[] {
  const remark = (code: Remark['code'], weight: Remark['weight'], text: string): Remark => ({
    code,
    weight,
    tapIds: [channel.tapId],
    text: `${channel.tapId}: ${text}`,
  });
  if (channel.carries === 'nothing')
    return [
      remark(
        'dead-channel',
        'record again',
        'nothing of the track is on this channel: a wire off, an input not switched on, or a tap without signal',
      ),
    ];
  if (channel.sameAsTapId !== null)
    return [
      remark(
        'same-channel-twice',
        'record again',
        `the same signal as ${channel.sameAsTapId}, noise included: both inputs are on one tap, or the recorder is set to mono`,
      ),
    ];
  return [
    ...clipping(take, channel),
    ...level(channel),
    ...gain(channel),
    ...disturbances(channel),
    ...announcements(channel),
  ].map(({ code, weight, text }) => remark(code, weight, text));
}

type Said = Pick<Remark, 'code' | 'weight' | 'text'>;

function clipping({ track }: TakeFacts, channel: ChannelFacts): Said[] {
  const { clippedRuns, clippedFromDriveDbFs, peakDbFs } = channel;
  if (clippedRuns === 0)
    return peakDbFs > -HEADROOM_DB
      ? [
          {
            code: 'little-headroom',
            weight: 'note',
            text: `only ${(-peakDbFs).toFixed(1)} dB of headroom at the recorder`,
          },
        ]
      : [];
  if (track === 'response only' || clippedFromDriveDbFs === null)
    return [
      {
        code: 'recorder-clipped',
        weight: 'record again',
        text: `the recorder clipped ${clippedRuns} times: lower its gain`,
      },
    ];
  return [
    {
      code: 'recorder-clipped',
      weight: clippedFromDriveDbFs <= CLIP_HIDES_ONSET_DB_FS ? 'record again' : 'note',
      text: `the recorder clipped from a drive of ${clippedFromDriveDbFs} dBFS on, which is not used: lower its gain`,
    },
  ];
}

function level({ levelDbFs, peakDbFs, noiseDbFs, dcOffset }: ChannelFacts): Said[] {
  const said: Said[] = [];
  if (peakDbFs < LOW_PEAK_DB_FS)
    said.push({
      code: 'low-level',
      weight: 'note',
      text: `the highest peak is ${peakDbFs.toFixed(0)} dBFS: raise the recorder’s gain`,
    });
  const snrDb = levelDbFs === null || noiseDbFs === null ? null : levelDbFs - noiseDbFs;
  if (snrDb !== null && snrDb < GOOD_SNR_DB)
    said.push({
      code: 'noisy',
      weight: snrDb < LEAST_SNR_DB ? 'record again' : 'note',
      text: `full drive stands only ${snrDb.toFixed(0)} dB above the noise`,
    });
  if (Math.abs(dcOffset) > DC_OFFSET)
    said.push({
      code: 'dc-offset',
      weight: 'note',
      text: `an offset of ${(100 * dcOffset).toFixed(0)} % of full scale takes headroom: use the recorder’s AC-coupled input`,
    });
  return said;
}

function gain({ gainChangeDb, ladderSpreadDb, mutedUpToHz, leadInExcessDb = null }: ChannelFacts): Said[] {
  const said: Said[] = [];
  const changed =
    gainChangeDb !== null && Math.abs(gainChangeDb.value) > GAIN_CHANGE_DB + gainChangeDb.plusMinus;
  if (changed)
    said.push({
      code: 'gain-changed',
      weight: 'record again',
      text: `the gain changed by ${signed(gainChangeDb.value)} dB between the opening and the closing sweep: switch the recorder’s automatic gain off, and see whether the supply sags`,
    });
  else if (ladderSpreadDb !== null && ladderSpreadDb > LADDER_SPREAD_DB)
    said.push({
      code: 'gain-changed',
      weight: 'note',
      text: `quiet and loud steps differ in gain by ${ladderSpreadDb.toFixed(1)} dB: the recorder’s automatic gain, or a limiter of the radio over the whole band`,
    });
  if (mutedUpToHz !== null)
    said.push(
      mutedUpToHz > BASS_FROM_HZ
        ? {
            code: 'muted-start',
            weight: 'record again',
            text: `the radio was still muted when the track began: the left sweep is missing up to ${mutedUpToHz.toFixed(0)} Hz`,
          }
        : {
            code: 'muted-start',
            weight: 'note',
            text: `the radio was still fading in when the sweep began: nothing below ${mutedUpToHz.toFixed(0)} Hz is read from the left sweep`,
          },
    );
  else if (leadInExcessDb !== null && leadInExcessDb < LEAD_IN_LACKS_DB)
    said.push({
      code: 'muted-start',
      weight: 'note',
      text: `the radio was still fading in under the first tones (${(-leadInExcessDb).toFixed(1)} dB too quiet), or lowers what is quiet; what is measured is not touched by it`,
    });
  return said;
}

function disturbances({ knocks }: ChannelFacts): Said[] {
  return knocks.map(({ section, atSeconds, spoiltHz }) => ({
    code: 'knock',
    weight: spoiltHz === null || spoiltHz[0] > TREBLE_FROM_HZ ? 'note' : 'record again',
    text:
      spoiltHz === null
        ? `a knock at ${atSeconds.toFixed(1)} s in ${section}: that moment is not used`
        : `a knock at ${atSeconds.toFixed(1)} s in ${section}: ${spoiltHz[0].toFixed(0)} to ${spoiltHz[1].toFixed(0)} Hz are less certain there`,
  }));
}

/** The closing sweeps stand in for the opening ones, and noise is read beside it; nothing stands in for the rest. */
function announcements({ announcements: heard = [] }: ChannelFacts): Said[] {
  return heard.map(({ fromSeconds, toSeconds, sections }) => ({
    code: 'announcement',
    weight: sections.every((id) => REPEATED_SECTIONS.includes(id)) ? 'note' : 'record again',
    text: `a chime, a voice or talk from ${fromSeconds.toFixed(1)} to ${toSeconds.toFixed(1)} s in ${sections.join(', ')}: what it covered is not used; switch prompts off, fasten the belt and keep quiet`,
  }));
}

const REPEATED_SECTIONS = [
  'sweep left',
  'sweep right',
  'closing left',
  'closing right',
  'quiet tone',
  'silence',
] as const satisfies readonly SectionId[] as readonly string[];

function signed(value: number): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(1)}`;
}
