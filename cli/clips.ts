import { dirname, join } from 'node:path';
import { openWav } from '../src/audio/read-wav.ts';
import { encodeWav } from '../src/audio/write-wav.ts';
import { beforeAndAfterClips, PEAK_DBFS } from '../src/clips/clips.ts';
import { phrase } from '../src/clips/phrase.ts';
import type { Progress } from '../src/commands/progress.ts';
import { readResults } from '../src/commands/read-results.ts';
import { clipLine } from '../src/words/lines/clip-line.ts';
import { diskFile } from './disk-folder.ts';
import { fileSource } from './files.ts';
import type { Outcome } from './outcome.ts';
import { sha256 } from './sha256.ts';
import { writeTogether } from './write-together.ts';

export interface ClipsArguments {
  readonly resultsFile: string;
  /** WAV with music; a phrase of the tool's own where absent. */
  readonly programme?: string;
  readonly feed?: string;
  readonly out?: string;
  readonly force: boolean;
}

const DEFAULT_OUT = 'clips';
const PHRASE_RATE_HZ = 48_000;
const SEED = 1;
/** Long enough to hear it, short enough to wait for. */
const MOST_SECONDS = 30;

/**
 * Writes the clips that let a customer hear the missing bass, 24-bit WAV, all or none.
 *
 * @throws SteptoneError for the results, the music, the feed or the folder
 */
export async function clipsCommand(
  { resultsFile, programme, feed, out, force }: ClipsArguments,
  onProgress: Progress,
): Promise<Outcome> {
  const results = readResults(diskFile(resultsFile), { sha256 });
  onProgress(0, 1, 'clips');
  const { sides, sampleRateHz } = programme === undefined ? ownPhrase() : readProgramme(programme);
  const { feedId, clips, restoredDb } = beforeAndAfterClips({
    results,
    programme: sides,
    sampleRateHz,
    ...(feed === undefined ? {} : { feedId: feed }),
  });
  const folder = out ?? join(dirname(resultsFile), DEFAULT_OUT);
  const files = clips.map(({ name, left, right }) => ({
    name: `${name}.wav`,
    wav: encodeWav({ sampleRateHz, channels: [left, right], bitDepth: '24', ditherSeed: SEED }),
  }));
  writeTogether({ folder, files: Object.fromEntries(files.map(({ name, wav }) => [name, wav])), force });
  return {
    text: [
      `Clips of ${feedId}, as loud as one another from 300 Hz to 3 kHz:`,
      ...clips.map((clip) => `  ${join(folder, `${clip.name}.wav`)}  ${clipLine(clip)}`),
      ...(restoredDb === 0 ? ['No restoration is planned for this feed, so there is no restored clip.'] : []),
      `Peaks reach ${PEAK_DBFS} dBFS: begin with the volume down, and do not play the restored clip loud on small loudspeakers.`,
    ].join('\n'),
    data: {
      folder,
      feedId,
      restoredDb,
      files: clips.map((clip) => ({ file: `${clip.name}.wav`, what: clipLine(clip) })),
    },
  };
}

function ownPhrase() {
  return { sides: phrase({ sampleRateHz: PHRASE_RATE_HZ, seed: SEED }), sampleRateHz: PHRASE_RATE_HZ };
}

/** The first two channels, or one for both. */
function readProgramme(path: string) {
  const source = fileSource(path);
  try {
    const sound = openWav(source);
    const count = Math.min(sound.length, MOST_SECONDS * sound.sampleRateHz);
    const [left, right = left] = sound.readSection({ start: 0, count });
    return { sides: [left, right] as const, sampleRateHz: sound.sampleRateHz };
  } finally {
    source.close();
  }
}
