import { type Random, seededRandom } from '../dsp/random.ts';
import type { RecordingKind } from '../model/session.ts';
import { fullTrack, responseTrack, type Track } from '../tones/track.ts';
import type { Scenario } from './scenario.ts';

/** What the person records into one file. */
export interface PlannedFile {
  readonly file: string;
  readonly kind: RecordingKind | 'tone';
  /** Tap of each channel. */
  readonly tapIds: readonly string[];
  readonly takes: readonly PlannedTake[];
  readonly durationSeconds: number;
  /** Only of noise takes. */
  readonly noise?: Scenario['files']['noise'][number];
}

export interface PlannedTake {
  readonly setting: number;
  /** Start of the track in the file; negative where recording began late. */
  readonly startSeconds: number;
  /** Stopped after this; null for a whole take. */
  readonly abortedAfterSeconds: number | null;
}

export const CALIBRATION_FILE = 'calibration-tone.wav';
/** As the bench sheet asks for. */
const STEADY_SECONDS = 10;

export function trackOf({ track }: Scenario): Track {
  return track === 'full' ? fullTrack : responseTrack;
}

/** The list of files, in the order recorded: takes first, then loop, shorted and calibration takes where declared. */
export function planFiles(scenario: Scenario): PlannedFile[] {
  const random = seededRandom(scenario.seed, FILES_STREAM);
  const { loop, shorted, noise } = scenario.files;
  const tapIds = scenario.taps.map(({ id }) => id);
  const steady = { tapIds, takes: [], durationSeconds: STEADY_SECONDS };
  return [
    ...takeFiles(scenario, random),
    ...(loop
      ? [
          {
            ...fileWithTakes({ scenario, random, file: 'loop.wav', tapIds, settings: [0] }),
            kind: 'loop' as const,
          },
        ]
      : []),
    ...(shorted ? [{ ...steady, file: 'shorted.wav', kind: 'shorted' as const }] : []),
    ...noise.map((one) => ({
      ...steady,
      file: `noise-${one.engine}-setting-${one.setting}.wav`,
      kind: 'noise' as const,
      noise: one,
    })),
    ...(scenario.calibration.kind === 'tone'
      ? [{ ...steady, tapIds: tapIds.slice(0, 1), file: CALIBRATION_FILE, kind: 'tone' as const }]
      : []),
  ];
}

/** Seeds of streams that must not meet: files, track dither, clock fraction, and noise by file and channel. */
const FILES_STREAM = 1;
export const FRACTION_STREAM = 2;
export const NOISE_STREAM = 3;

function takeFiles(scenario: Scenario, random: Random): PlannedFile[] {
  const { files, settings, taps } = scenario;
  const tapIds = taps.map(({ id }) => id);
  if (files.kind === 'one long file') {
    const repeated = settings.flatMap((setting) => Array<number>(files.repeats).fill(setting));
    return [
      fileWithTakes({
        scenario,
        random,
        file: 'all-settings.wav',
        tapIds,
        settings: repeated,
        aborted: files.aborted,
      }),
    ];
  }
  const groups = files.kind === 'per setting' ? [tapIds] : pairs(tapIds, files.referenceTapId ?? tapIds[0]);
  return groups.flatMap((group) =>
    settings.flatMap((setting) =>
      Array.from({ length: files.repeats }, (_, repeat) => {
        const file = fileName({ group: files.kind === 'per setting' ? [] : group, setting, repeat });
        return fileWithTakes({ scenario, random, file, tapIds: group, settings: [setting] });
      }),
    ),
  );
}

function pairs(tapIds: readonly string[], reference: string): string[][] {
  const others = tapIds.filter((id) => id !== reference);
  return others.length === 0 ? [[reference]] : others.map((id) => [reference, id]);
}

function fileName({
  group,
  setting,
  repeat,
}: {
  group: readonly string[];
  setting: number;
  repeat: number;
}): string {
  const taps = group.map((id) => `${id.replaceAll(/[^a-zA-Z0-9]+/g, '-')}-`).join('');
  return `${taps}setting-${setting}${repeat === 0 ? '' : `-take-${repeat + 1}`}.wav`;
}

function fileWithTakes({
  scenario,
  random,
  file,
  tapIds,
  settings,
  aborted = [],
}: {
  scenario: Scenario;
  random: Random;
  file: string;
  tapIds: readonly string[];
  settings: readonly number[];
  aborted?: Scenario['files']['aborted'];
}): PlannedFile {
  const { startSeconds, endSeconds } = scenario.recorder;
  const trackSeconds = trackOf(scenario).durationSeconds;
  const takes: PlannedTake[] = [];
  let at = random.between(startSeconds);
  let lastSeconds = 0;
  const play = (setting: number, abortedAfterSeconds: number | null) => {
    if (takes.length > 0) at += lastSeconds + random.between(scenario.files.gapSeconds);
    lastSeconds = abortedAfterSeconds ?? trackSeconds;
    takes.push({ setting, startSeconds: at, abortedAfterSeconds });
  };
  settings.forEach((setting, i) => {
    for (const { beforeTake, playedSeconds } of aborted)
      if (beforeTake === i + 1) play(setting, playedSeconds);
    play(setting, null);
  });
  return {
    file,
    kind: 'takes',
    tapIds,
    takes,
    durationSeconds: at + trackSeconds + random.between(endSeconds),
  };
}
