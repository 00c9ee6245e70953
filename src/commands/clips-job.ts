import type { ByteSource } from '../audio/byte-source.ts';
import { openWav } from '../audio/read-wav.ts';
import { encodeWav } from '../audio/write-wav.ts';
import { beforeAndAfterClips, PEAK_DBFS } from '../clips/clips.ts';
import { phrase } from '../clips/phrase.ts';
import type { Results } from '../model/results.ts';
import { clipLine } from '../words/lines/clip-line.ts';
import { clipsLines } from '../words/lines/clips-lines.ts';

/** What players of today take. */
const PHRASE_RATE_HZ = 48_000;
/** Any will do: phrase and dither are the same at each run. */
const SEED = 1;
/** Long enough to hear it, short enough to wait for. */
const MOST_SECONDS = 30;

interface ClipsJob {
  readonly feedId: string;
  readonly restoredDb: number;
  /** 24-bit WAV by name. */
  readonly files: Readonly<Record<string, Uint8Array>>;
  readonly what: readonly { readonly file: string; readonly what: string }[];
  /** @param placeOf where a file was written, for people */
  readonly lines: (placeOf: (file: string) => string) => string[];
}

/**
 * The clips that let a customer hear the missing bass, as files.
 *
 * @param music a WAV, of which the first seconds are taken; a phrase of the tool's own where null
 * @throws SteptoneError for the music, or a feed that the plan does not have
 */
export function clipsJob({
  results,
  music,
  feedId,
}: {
  results: Results;
  music: ByteSource | null;
  feedId: string | undefined;
}): ClipsJob {
  const { sides, sampleRateHz } = music === null ? ownPhrase() : beginningOf(music);
  const made = beforeAndAfterClips({
    results,
    programme: sides,
    sampleRateHz,
    ...(feedId === undefined ? {} : { feedId }),
  });
  const named = made.clips.map((clip) => ({ ...clip, file: `${clip.name}.wav` }));
  return {
    feedId: made.feedId,
    restoredDb: made.restoredDb,
    files: Object.fromEntries(
      named.map(({ file, left, right }) => [
        file,
        encodeWav({ sampleRateHz, channels: [left, right], bitDepth: '24', ditherSeed: SEED }),
      ]),
    ),
    what: named.map((clip) => ({ file: clip.file, what: clipLine(clip) })),
    lines: (placeOf) =>
      clipsLines({
        ...made,
        clips: named.map((clip) => ({ ...clip, place: placeOf(clip.file) })),
        peakDbFs: PEAK_DBFS,
      }),
  };
}

function ownPhrase() {
  return { sides: phrase({ sampleRateHz: PHRASE_RATE_HZ, seed: SEED }), sampleRateHz: PHRASE_RATE_HZ };
}

/** The first two channels, or one for both. */
function beginningOf(source: ByteSource) {
  const sound = openWav(source);
  const count = Math.min(sound.length, MOST_SECONDS * sound.sampleRateHz);
  const [left, right = left] = sound.readSection({ start: 0, count });
  return { sides: [left, right] as const, sampleRateHz: sound.sampleRateHz };
}
