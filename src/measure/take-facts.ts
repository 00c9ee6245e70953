import { decibels } from '../dsp/decibels.ts';
import { modulus } from '../dsp/modulus.ts';
import type { ChannelFacts, TakeFacts } from '../model/check.ts';
import type { LadderMeasurement } from '../model/measurement.ts';
import { magnitudeCurve } from '../model/response.ts';
import type { Tap } from '../model/session.ts';
import type { Take } from '../takes/take.ts';
import { MIDDLE_TONE_HZ, type Section, sectionOf, sideOfSection } from '../tones/track.ts';
import { hissPrint } from './disturbances/hiss-print.ts';
import { leadInExcessDb } from './disturbances/lead-in-gain.ts';
import { tonesAgainstSweep } from './ladders/tone-against-sweep.ts';
import type { ChannelFaults, ChannelMeasurement, TakeMeasurement } from './measure-take.ts';
import { isSameSignal } from './same-channel.ts';
import { carriedSides } from './sweeps/carried-sides.ts';
import type { TakeReader } from './take-reader.ts';

/** No radio clips before its volume control at so low a drive (common practice). */
const BELOW_CLIPS_DB_FS = -12;
/** Steps that may count for the gain of a ladder: hardly distorted, well above the noise, not near the recorder's limit. */
const CLEAN_THD = 0.003;
const CLEAR_SIGMA_DB = 0.03;
const BELOW_LIMIT_DB = -1;
const RECORDER_LIMIT_DB = 0.02;
/** Part of the silence that is compared between channels. */
const SILENCE_EDGE_SECONDS = 0.15;
const SILENCE_SECONDS = 0.5;

/** The hiss of a take's first channel that carries something, to know the same recording again. */
export function takePrint(reader: TakeReader): Float32Array | null {
  return reader.channels.length === 0 ? null : hissPrint(silenceOf(reader.only([0]))[0]);
}

/** The facts of one take for the check; `setting` is filled in once it is known. */
export function takeFacts(of: {
  reader: TakeReader;
  file: string;
  taps: readonly { readonly tap: Tap; readonly channel: number }[];
  measured: TakeMeasurement;
}): TakeFacts {
  const { file, taps, measured } = of;
  const reader = of.reader.withClock(measured.clock?.ppm ?? 0);
  const { take } = reader;
  const still = stillChannels(reader);
  const silence = silenceOf(reader);
  const carried = measured.faults.map(({ levelsDbFs: { left, right } }, i) =>
    carriedSides({ leftDb: left, rightDb: right }, measured.channels[i]),
  );
  return {
    file,
    setting: null,
    takeStartSeconds: Number(take.startSeconds.toFixed(3)),
    track: take.track.name,
    missingSections: missingSections(take, carried).filter(
      (id) =>
        !measured.faults.some(({ announcements }) => announcements.some(({ section }) => section === id)),
    ),
    clockPpm:
      measured.clock === null ? null : { value: measured.clock.ppm, plusMinus: measured.clock.plusMinusPpm },
    ...(measured.continuity.slip === null ? {} : { timeSlip: measured.continuity.slip }),
    ...(measured.continuity.torn.length === 0 ? {} : { tornSections: [...measured.continuity.torn] }),
    channels: taps.map(({ tap, channel }, i): ChannelFacts => {
      const twin = taps.find(
        (_, j) =>
          j < i &&
          carried[i] !== 'nothing' &&
          carried[j] === carried[i] &&
          isSameSignal(silence[i], silence[j]),
      );
      return channelFacts({
        reader,
        i,
        tapId: tap.id,
        channel: channel + 1,
        one: measured.channels[i],
        faults: measured.faults[i],
        carries: carried[i],
        sameAsTapId: twin?.tap.id ?? null,
        isStill: still[i],
      });
    }),
  };
}

function channelFacts(of: {
  readonly reader: TakeReader;
  /** Place in the reader's channels. */
  readonly i: number;
  readonly tapId: string;
  readonly channel: number;
  readonly one: ChannelMeasurement;
  readonly faults: ChannelFaults;
  readonly carries: ChannelFacts['carries'];
  readonly sameAsTapId: string | null;
  readonly isStill: boolean;
}): ChannelFacts {
  const { reader, i, tapId, channel, one, carries, sameAsTapId } = of;
  const { peakDbFs, clippedRuns, dcOffset } = one.recorder;
  const { levelsDbFs, gainChangeDb, mutedUpToHz, knocks, sweepsClipped } = of.faults;
  const noiseDbFs = one.noise?.underQuietToneDbFs ?? null;
  const against = tonesAgainstSweep({ ladders: one.ladders, low: one.bothLowDrive, noiseDbFs });
  const announcements = joined(of.faults.announcements);
  const levels = [levelsDbFs.left ?? [], levelsDbFs.right ?? []].flat();
  return {
    tapId,
    channel,
    levelDbFs: levels.length === 0 ? null : Math.max(...levels),
    peakDbFs,
    upToHz: upToHz(one),
    clearDb: clearDb(one),
    clippedRuns,
    ...(sweepsClipped > 0 ? { sweepsClipped } : {}),
    clippedFromDriveDbFs: clippedRuns > 0 ? clippedFromDriveDbFs(one) : null,
    gainChangeDb,
    ladderSpreadDb: ladderSpreadDb(one.ladders),
    ...(against.length === 0 ? {} : { tonesAgainstSweep: against }),
    leadInExcessDb: leadInExcessDb(reader, { i, curve: magnitudeCurve([one.left, one.right]) }),
    dcOffset,
    noiseDbFs,
    carries,
    sameAsTapId,
    ...(of.isStill ? { isStill: true } : {}),
    mutedUpToHz,
    knocks: knocks
      .filter(({ atSeconds }) => !announcements.some((one) => isDuring(one, atSeconds)))
      .map((knock) => ({ ...knock, atSeconds: rounded(knock.atSeconds) })),
    ...(announcements.length === 0 ? {} : { announcements }),
  };
}

/** One announcement may reach from one section into the next, and pause between them. */
const SAME_ANNOUNCEMENT_SECONDS = 0.8;

type Announcements = NonNullable<ChannelFacts['announcements']>;

function joined(found: ChannelFaults['announcements']): Announcements {
  const all: Announcements = [];
  for (const { section, fromSeconds, toSeconds } of [...found].sort(
    (a, b) => a.fromSeconds - b.fromSeconds,
  )) {
    const last = all.at(-1);
    if (last !== undefined && fromSeconds - last.toSeconds < SAME_ANNOUNCEMENT_SECONDS) {
      last.toSeconds = Math.max(last.toSeconds, rounded(toSeconds));
      if (!last.sections.includes(section)) last.sections.push(section);
    } else
      all.push({
        fromSeconds: rounded(fromSeconds),
        toSeconds: rounded(toSeconds),
        sections: [section],
      });
  }
  return all;
}

/** Its first and last word may have been taken for knocks. */
function isDuring({ fromSeconds, toSeconds }: Announcements[number], atSeconds: number): boolean {
  return (
    atSeconds > fromSeconds - SAME_ANNOUNCEMENT_SECONDS && atSeconds < toSeconds + SAME_ANNOUNCEMENT_SECONDS
  );
}

function rounded(seconds: number): number {
  return Number(seconds.toFixed(2));
}

/** A sweep that no channel can carry is not missing: two taps of the left side hear no right sweep. */
function missingSections(take: Take, carried: readonly ChannelFacts['carries'][]): string[] {
  const hears = (side: 'left' | 'right') =>
    carried.some((one) => one === side || one === 'left and right' || one === 'difference');
  return take.missing.filter((id) => {
    const side = sideOfSection(id);
    return side === null || hears(side);
  });
}

function upToHz({ left, right }: ChannelMeasurement): number | null {
  const tops = [left, right].flatMap(({ trustedHz }) => (trustedHz === null ? [] : [trustedHz[1]]));
  return tops.length === 0 ? null : Math.max(...tops);
}

function clearDb({ left, right }: ChannelMeasurement): number | null {
  const ratios = [left, right].flatMap(({ real, imag, sigma, trustedHz }) =>
    trustedHz === null ? [] : Array.from(sigma, (noise, k) => modulus(real[k], imag[k]) / noise),
  );
  const most = ratios.reduce((highest, ratio) => Math.max(highest, ratio), 0);
  return most > 0 && Number.isFinite(most) ? decibels(most) : null;
}

function clippedFromDriveDbFs({ ladders, recorder }: ChannelMeasurement): number | null {
  const limitDbFs = Math.min(0, recorder.peakDbFs) - RECORDER_LIMIT_DB;
  const drives = ladders.flatMap(({ steps }) =>
    steps.filter(({ peakDbFs }) => peakDbFs >= limitDbFs).map(({ driveDbFs }) => driveDbFs),
  );
  return drives.length === 0 ? null : Math.min(...drives);
}

/**
 * Of a linear path every clean step has the same gain; an automatic one raises the quiet steps. Where filters or noise hide the
 * harmonics of a clip, the loud steps are left out: they may lose level to one.
 */
export function ladderSpreadDb(ladders: readonly LadderMeasurement[]): number | null {
  const steps = ladders.find(({ toneHz }) => toneHz === MIDDLE_TONE_HZ)?.steps ?? [];
  const gains = steps
    .filter(
      ({ driveDbFs, thd, thdBeforeFilters, thdNoise, levelSigmaDb, peakDbFs }) =>
        (thdBeforeFilters !== null || driveDbFs <= BELOW_CLIPS_DB_FS) &&
        thd < CLEAN_THD + thdNoise &&
        levelSigmaDb < CLEAR_SIGMA_DB &&
        peakDbFs < BELOW_LIMIT_DB,
    )
    .map(({ levelDbFs: level, driveDbFs }) => level - driveDbFs);
  return gains.length < 2 ? null : Math.max(...gains) - Math.min(...gains);
}

/** In the pause before a sweep: what rings on has died away, and the sweep has not come early. */
const PAUSE_FROM_SECONDS = -0.4;
const PAUSE_TO_SECONDS = -0.05;
const PAUSES_BEFORE = ['sweep right', 'closing right'] as const;

/** Whether a channel holds one value in a pause: no output and no recorder is that quiet, and its noise is not known then. */
function stillChannels(reader: TakeReader): boolean[] {
  const pauses = PAUSES_BEFORE.map((id) => {
    const section = sectionOf(reader.take.track, 'sweep', id)!;
    const at = (seconds: number) =>
      Math.round((reader.startSecondsOf(section) + seconds) * reader.sampleRateHz);
    const [start, end] = [at(PAUSE_FROM_SECONDS), Math.min(reader.length, at(PAUSE_TO_SECONDS))];
    return reader.read({ start, count: Math.max(0, end - start) }).map(isStill);
  });
  return reader.channels.map((_, i) => pauses.some((pause) => pause[i]));
}

function isStill(samples: Float32Array): boolean {
  return samples.length > 1 && samples.every((value) => value === samples[0]);
}

function silenceOf({ take, startFrame, sampleRateHz, length, read }: TakeReader): Float32Array[] {
  const silence = take.track.sections.find((section): section is Section => section.kind === 'silence')!;
  const start = startFrame + Math.round((silence.startSeconds + SILENCE_EDGE_SECONDS) * sampleRateHz);
  const wanted = Math.round(SILENCE_SECONDS * sampleRateHz);
  return read({ start, count: Math.max(0, Math.min(wanted, length - start)) });
}
