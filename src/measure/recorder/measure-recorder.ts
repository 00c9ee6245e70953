import type { Sound } from '../../audio/sound.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import type { Session } from '../../model/session.ts';
import { findTakes } from '../../takes/find-takes.ts';
import { noiseLevelDbFs } from '../disturbances/noise.ts';
import { measureTakeResponses } from '../sweeps/take-responses.ts';
import { takeReader } from '../take-reader.ts';
import { steadyToneLevel } from './calibration.ts';
import { recorderResponse } from './recorder-response.ts';

/** What is known of the recorder itself; channels are counted from 0 and missing where nothing is known. */
export interface RecorderKnowledge {
  /** Shape of each channel from a loop take. */
  readonly response: ReadonlyMap<number, FrequencyResponse>;
  /** Noise floor of each channel from a shorted take. */
  readonly floorDbFs: ReadonlyMap<number, number>;
  /** Amplitude of the calibration tone; null without one. */
  readonly toneLevel: number | null;
}

/** At most this much of a steady recording is looked at, from its middle. */
const LOOK_SECONDS = 6;

/** Reads the loop take, the shorted take and the calibration tone, where the session has them. */
export function measureRecorder({
  session,
  open,
}: {
  session: Session;
  open: (file: string) => Sound;
}): RecorderKnowledge {
  const response = new Map<number, FrequencyResponse>();
  const floorDbFs = new Map<number, number>();
  for (const recording of session.recordings) {
    if (recording.kind === 'loop') readLoop(open(recording.file), response);
    if (recording.kind === 'shorted') {
      const sound = open(recording.file);
      middleOf(sound).forEach((samples, channel) => {
        floorDbFs.set(channel, noiseLevelDbFs(samples, sound.sampleRateHz));
      });
    }
  }
  return { response, floorDbFs, toneLevel: toneLevelOf(session, open) };
}

function readLoop(sound: Sound, into: Map<number, FrequencyResponse>): void {
  const channels = Array.from({ length: sound.channelCount }, (_, channel) => channel);
  const [take] = findTakes(sound, channels);
  if (take === undefined) return;
  measureTakeResponses(takeReader({ sound, take, channels })).channels.forEach((measured, channel) => {
    const shape = recorderResponse(measured);
    if (shape !== null) into.set(channel, shape);
  });
}

/** Amplitude of the calibration tone; null where the session has none. */
export function toneLevelOf({ calibration }: Session, open: (file: string) => Sound): number | null {
  if (calibration.kind !== 'tone') return null;
  const sound = open(calibration.file);
  return steadyToneLevel(middleOf(sound)[calibration.channel - 1], {
    sampleRateHz: sound.sampleRateHz,
    file: calibration.file,
  });
}

function middleOf(sound: Sound): Float32Array[] {
  const count = Math.min(sound.length, Math.round(LOOK_SECONDS * sound.sampleRateHz));
  return sound.readSection({ start: Math.floor((sound.length - count) / 2), count });
}
