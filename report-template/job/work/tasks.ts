import { encodeWav } from '../../../src/audio/write-wav.ts';
import { analyseJob } from '../../../src/commands/analyse-job.ts';
import { checkJob } from '../../../src/commands/check-job.ts';
import { clipsJob } from '../../../src/commands/clips-job.ts';
import { confirmRadio } from '../../../src/commands/confirm-radio.ts';
import { sessionInFolder } from '../../../src/commands/find-session.ts';
import { fingerprintOf } from '../../../src/commands/fingerprint.ts';
import { gainsByMeter } from '../../../src/commands/gains-by-meter.ts';
import { withFile } from '../../../src/commands/job-folder.ts';
import { type LoadedSession, loadSession } from '../../../src/commands/load-session.ts';
import { newJobFiles } from '../../../src/commands/new-job.ts';
import { readEquipment } from '../../../src/commands/read-equipment.ts';
import { readResults } from '../../../src/commands/read-results.ts';
import { replanJob } from '../../../src/commands/replan-job.ts';
import { RESULTS_FILE } from '../../../src/commands/result-files.ts';
import { screenJob } from '../../../src/commands/screen-job.ts';
import type { Shell } from '../../../src/commands/shell.ts';
import { stickWav } from '../../../src/commands/stick-wav.ts';
import { summaryOf } from '../../../src/commands/summary.ts';
import { verifyJob } from '../../../src/commands/verify-job.ts';
import { withRecordings } from '../../../src/commands/with-recordings.ts';
import { curveTables } from '../../../src/curves/curve-tables.ts';
import { voltsPerFullScale } from '../../../src/measure/recorder/calibration.ts';
import { toneLevelOf } from '../../../src/measure/recorder/measure-recorder.ts';
import type { Check } from '../../../src/model/check.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { screeningLines } from '../../../src/report/wording/screening-words.ts';
import { TRACK_RATES_HZ } from '../../../src/tones/render-track.ts';
import { stickFiles } from '../../../src/tones/stick-files.ts';
import { checkLines } from '../../../src/words/lines/check-lines.ts';
import { photoLines } from '../../../src/words/lines/photo-lines.ts';
import { confirmedLine } from '../../../src/words/lines/same-radio-lines.ts';
import { verifyLines } from '../../../src/words/lines/verify-lines.ts';
import { blobFolder } from './blob-folder.ts';
import { findHeardTake, type HeardTake } from './heard-take.ts';

/** What a task works with: the files of the job, and the page's side of a command. */
interface Surroundings {
  readonly files: ReadonlyMap<string, Blob>;
  /** The folder of the job that is meant. */
  readonly inside: string;
  readonly shell: Shell;
}

type GainsAsked = Parameters<typeof gainsByMeter>[0] & {
  /** What the page calls the figures. */
  readonly names: Parameters<typeof gainsByMeter>[1];
};

export type OutFiles = Readonly<Record<string, string | Uint8Array>>;

/** What the page asks of a worker, by name: each takes plain data and answers plain data. */
export const tasks = {
  async check(_: object, around: Surroundings): Promise<{ check: Check; lines: string[] }> {
    const check = await checkJob(loaded(around), around.shell);
    return { check, lines: checkLines(check) };
  },

  /** One take by itself, with what is known of the recorder. */
  async checkTake({ file }: { file: string }, around: Surroundings): Promise<Check> {
    const whole = loaded(around);
    // By itself a take of another source is judged as any other.
    const recordings = whole.session.recordings.flatMap((one) =>
      one.file === file && one.kind === 'other source'
        ? [{ ...one, kind: 'takes' as const }]
        : one.file === file || (one.kind !== 'takes' && one.kind !== 'other source')
          ? [one]
          : [],
    );
    return checkJob({ ...whole, session: { ...whole.session, recordings } }, around.shell);
  },

  async analyse(_: object, around: Surroundings) {
    const { results, files, photos } = await analyseJob(loaded(around), around.shell);
    return { files: files as OutFiles, text: [summaryOf(results), ...photoLines(photos)].join('\n') };
  },

  async screen(_: object, around: Surroundings): Promise<string> {
    return screeningLines(await screenJob(loaded(around), around.shell)).join('\n');
  },

  async verify({ plan }: { plan: string }, around: Surroundings) {
    const { files, shell } = around;
    const folder = blobFolder(files, folderOf(plan));
    const planFingerprint = withFile({ folder, file: RESULTS_FILE }, (source) =>
      fingerprintOf({ source, file: RESULTS_FILE, sha256: shell.sha256 }),
    );
    const job = {
      loaded: loaded(around),
      plan: readResults({ folder, file: RESULTS_FILE }, shell),
      planFingerprint,
    };
    const { verification, files: written } = await verifyJob(job, shell);
    return {
      files: written as OutFiles,
      text: verifyLines(verification).join('\n'),
      passes: verification.passes,
    };
  },

  /** @param confirm where a short take in the folder that is meant is to show first that the radio is the same; no files where it is not */
  async replan(
    {
      plan,
      equipment,
      confirm,
    }: { plan: string; equipment: string; confirm: { tapId: string; setting: number } | null },
    { files, inside, shell }: Surroundings,
  ): Promise<{ files: OutFiles | null; text: string }> {
    const saved = readResults({ folder: blobFolder(files, folderOf(plan)), file: RESULTS_FILE }, shell);
    const parts = readEquipment(blobFolder(files), equipment);
    const confirmed =
      confirm === null
        ? null
        : await confirmRadio(
            saved,
            {
              take: sessionInFolder(blobFolder(files, inside)),
              where: inside,
              channels: confirm.tapId,
              setting: String(confirm.setting),
            },
            shell,
          );
    if (confirmed?.same === false)
      return { files: null, text: `${confirmedLine(confirmed)} Nothing was written.` };
    const { lines, files: written } = await replanJob({ saved, equipment: parts, confirmed }, shell);
    return { files: written as OutFiles, text: lines.join('\n') };
  },

  async curves({ plan }: { plan: string }, { files, shell }: Surroundings): Promise<OutFiles> {
    const tables = curveTables(
      readResults({ folder: blobFolder(files, folderOf(plan)), file: RESULTS_FILE }, shell),
    );
    return Object.fromEntries(tables.map(({ fileName, pieces }) => [fileName, [...pieces].join('')]));
  },

  async clips(
    { plan, music, feedId }: { plan: string; music: string | null; feedId: string | undefined },
    { files, shell }: Surroundings,
  ): Promise<{ files: OutFiles; text: string }> {
    const results = readResults({ folder: blobFolder(files, folderOf(plan)), file: RESULTS_FILE }, shell);
    const source = music === null ? null : blobFolder(files).open(music);
    const made = clipsJob({ results, music: source, feedId });
    return { files: made.files, text: made.lines((file) => file).join('\n') };
  },

  async gains({ names, ...of }: GainsAsked): Promise<string> {
    return gainsByMeter(of, names).text;
  },

  /** A file of the stick. */
  async stickFile({ name }: { name: string }): Promise<Uint8Array> {
    return stickWav(TRACK_RATES_HZ.flatMap(stickFiles).find((file) => file.name === name)!);
  },

  async newJob({ session }: { session: SessionInput }): Promise<OutFiles> {
    return newJobFiles(session);
  },

  /** RMS volts across a pair for a full-scale sine in a recording, as the session has it; null where it is not known. */
  async voltsPerFullScale(_: object, around: Surroundings): Promise<number | null> {
    const job = loaded(around);
    const { calibration, taps } = job.session;
    return withRecordings(job, around.shell, ({ open }) => {
      const toneLevel = toneLevelOf(job.session, open);
      const tap = { ...taps[0], connection: 'pair' } as const;
      return voltsPerFullScale({ calibration, tap, toneLevel })?.volts ?? null;
    });
  },

  async heardTake(of: { channels: Float32Array[]; sampleRateHz: number }): Promise<HeardTake | null> {
    return findHeardTake(of);
  },

  async wav({ channels, sampleRateHz }: { channels: Float32Array[]; sampleRateHz: number }) {
    return encodeWav({ channels, sampleRateHz, bitDepth: '24' });
  },
} as const;

export type Tasks = typeof tasks;

function loaded({ files, inside }: Surroundings): LoadedSession {
  return loadSession(sessionInFolder(blobFolder(files, inside)));
}

function folderOf(path: string): string {
  return path.replace(/\/?[^/]*$/, '');
}
