import type { Sound } from '../../audio/sound.ts';
import { ratioOf } from '../../dsp/decibels.ts';
import { SteptoneError } from '../../model/errors.ts';
import type { NoiseTake } from '../../model/finding.ts';
import { measured, notMeasurable } from '../../model/measured.ts';
import type { Recording, Session, Tap } from '../../model/session.ts';
import { findTracks } from '../../takes/find-takes.ts';
import { sectionOf } from '../../tones/track.ts';
import type { FileNote } from '../measure-session.ts';
import { voltsPerFullScale } from '../recorder/calibration.ts';
import { toneLevelOf } from '../recorder/measure-recorder.ts';
import { undisturbedStretch } from '../sweeps/undisturbed-stretch.ts';
import { noiseAndLines } from './noise.ts';

/** What a tap gave in one noise take. */
interface TapNoiseTake extends NoiseTake {
  readonly tapId: string;
  readonly file: string;
  readonly channel: number;
}

/** At most this much is looked at: an idling engine wanders. */
const LOOK_SECONDS = 8;
const LEAST_SECONDS = 1;
/** Fades of the quiet tone, and a radio that opens its mute. */
const EDGE_SECONDS = 0.45;
/** Reading of a floor over some seconds (common practice). */
const FLOOR_PLUS_MINUS = 0.12;

/**
 * The noise takes of a session: under the track's quiet tone where the full track plays in one, otherwise in the middle
 * of the file. A file that cannot be used is named in the notes.
 */
export function measureNoiseTakes({ session, open }: { session: Session; open: (file: string) => Sound }): {
  takes: TapNoiseTake[];
  notes: FileNote[];
} {
  const recordings = session.recordings.filter(({ kind }) => kind === 'noise');
  const takes: TapNoiseTake[] = [];
  const notes: FileNote[] = [];
  const toneLevel = recordings.length === 0 ? null : toneLevelOf(session, open);
  for (const recording of recordings) {
    const { file } = recording;
    try {
      const found = measureOne({ session, recording, sound: open(file), toneLevel });
      takes.push(...found);
      if (found.length === 0)
        notes.push({ file, reason: { code: 'no second without a knock' }, leftOut: true });
    } catch (error) {
      if (!(error instanceof SteptoneError)) throw error;
      notes.push({
        file,
        reason: { code: 'cannot be used', errorCode: error.code, message: error.message },
        leftOut: true,
      });
    }
  }
  return { takes, notes };
}

function measureOne(of: {
  session: Session;
  recording: Recording;
  sound: Sound;
  toneLevel: number | null;
}): TapNoiseTake[] {
  const { session, recording, sound } = of;
  const { sampleRateHz } = sound;
  const taps = recording.channels.flatMap((tapId, channel) => {
    const tap = session.taps.find(({ id }) => id === tapId);
    return tap === undefined || channel >= sound.channelCount ? [] : [{ tap, channel }];
  });
  const { samples, tonesHz } = stretchOf(
    sound,
    taps.map(({ channel }) => channel),
  );
  return taps.flatMap(({ tap, channel }) => {
    const { from, to } = undisturbedStretch(samples[channel], { sampleRateHz, tonesHz });
    if (to - from < LEAST_SECONDS * sampleRateHz) return [];
    const { levelDbFs, lines } = noiseAndLines(samples[channel].subarray(from, to), {
      sampleRateHz,
      tonesHz,
    });
    return [
      {
        tapId: tap.id,
        file: recording.file,
        channel: channel + 1,
        engine: recording.engine ?? 'off',
        rpm: recording.rpm ?? null,
        setting: recording.settings[0] ?? null,
        levelDbFs,
        levelVolts: voltsOf({ ...of, tap, levelDbFs }),
        lines: [...lines],
      },
    ];
  });
}

function stretchOf(
  sound: Sound,
  channels: readonly number[],
): { samples: Float32Array[]; tonesHz: readonly number[] } {
  const rate = sound.sampleRateHz;
  // A file of noise is not worth the long search for tweeters alone.
  const [take] = findTracks(sound, channels, { tweetersToo: false }).takes;
  const quiet = take === undefined ? undefined : sectionOf(take.track, 'tones', 'quiet tone');
  if (take !== undefined && quiet !== undefined) {
    const start = Math.round((take.startSeconds + quiet.startSeconds + EDGE_SECONDS) * rate);
    const seconds = quiet.durationSeconds - 2 * EDGE_SECONDS;
    const count = Math.max(0, Math.min(Math.round(seconds * rate), sound.length - start));
    return { samples: sound.readSection({ start, count }), tonesHz: quiet.tonesHz };
  }
  const count = Math.min(sound.length, LOOK_SECONDS * rate);
  return {
    samples: sound.readSection({ start: Math.floor((sound.length - count) / 2), count }),
    tonesHz: [],
  };
}

function voltsOf(of: {
  session: Session;
  tap: Tap;
  toneLevel: number | null;
  levelDbFs: number;
}): NoiseTake['levelVolts'] {
  const scale = voltsPerFullScale({
    calibration: of.session.calibration,
    tap: of.tap,
    toneLevel: of.toneLevel,
  });
  if (scale === null) return notMeasurable({ code: 'recording not calibrated' });
  const value = scale.volts * ratioOf(of.levelDbFs);
  return measured({ value, plusMinus: value * Math.hypot(FLOOR_PLUS_MINUS, scale.relativeUncertainty) });
}
