import type { Sound } from '../audio/sound.ts';
import { type Decimator, decimatorBy } from '../dsp/decimate.ts';
import { realSpectrum } from '../dsp/fft.ts';
import { doubles, kept, reused } from '../dsp/kernels/kernel-arrays.ts';
import type { Sweep } from '../dsp/sweep.ts';
import { fullTrack, responseTrack } from '../tones/track.ts';
import { chooseTakes, sweepSections } from './choose-takes.ts';
import { type Piece, piecesOf, readPiece } from './search-pieces.ts';
import { type SweepDetector, type SweepHit, sweepDetector } from './sweep-detector.ts';
import type { FoundTracks, Take } from './take.ts';

/** The search runs at about this rate: it finds any tap with content below 1 kHz. */
const SEARCH_RATE_HZ = 2700;
/** Second try, for files that hold nothing but tweeters. */
const TWEETER_SEARCH_RATE_HZ = 24_000;
/** Holds a track with some seconds around it at SEARCH_RATE_HZ; longer files are searched in overlapping pieces. */
const PIECE_SIZE = 2 ** 17;
const TWEETER_PIECE_SIZE = 2 ** 20;

/**
 * Finds every playing of a test track in a recording, in order of time, from its sweeps alone; no marks are needed and the
 * channels may hold any band.
 *
 * @param channels which channels to listen to, counted from 0
 */
export function findTakes(sound: Sound, channels: readonly number[]): readonly Take[] {
  return findTracks(sound, channels).takes;
}

/**
 * The same, with the playings that were broken off.
 *
 * @param tweetersToo whether to look a second time, ten times as long, for a file of nothing but tweeters
 */
export function findTracks(
  sound: Sound,
  channels: readonly number[],
  { tweetersToo = true }: { tweetersToo?: boolean } = {},
): FoundTracks {
  const found = search(sound, channels, { aboutRateHz: SEARCH_RATE_HZ, mostSamples: PIECE_SIZE });
  if (found.takes.length > 0 || !tweetersToo) return found;
  const tweeter = search(sound, channels, {
    aboutRateHz: TWEETER_SEARCH_RATE_HZ,
    mostSamples: TWEETER_PIECE_SIZE,
  });
  return tweeter.takes.length > 0 ? tweeter : found;
}

/** Every place of a recording that resembles a sweep of a track, at the rate of the search. */
export function sweepHits(
  sound: Sound,
  channels: readonly number[],
): ReadonlyMap<Sweep, readonly SweepHit[]> {
  const hits = new Map<Sweep, SweepHit[]>();
  search(sound, channels, { aboutRateHz: SEARCH_RATE_HZ, mostSamples: PIECE_SIZE }, (sweep, found) =>
    hits.set(sweep, [...(hits.get(sweep) ?? []), ...found]),
  );
  return hits;
}

function search(
  sound: Sound,
  channels: readonly number[],
  { aboutRateHz, mostSamples }: { aboutRateHz: number; mostSamples: number },
  onHits: (sweep: Sweep, found: readonly SweepHit[]) => void = () => {},
): FoundTracks {
  const decimator = decimatorBy(Math.max(1, Math.round(sound.sampleRateHz / aboutRateHz)));
  const sampleRateHz = sound.sampleRateHz / decimator.factor;
  const sweeps = [
    ...new Set([fullTrack, responseTrack].flatMap((track) => sweepSections(track).map((s) => s.sweep))),
  ];
  const pieceLength = Math.min(mostSamples, Math.ceil(sound.length / decimator.factor));
  const size = 2 ** Math.ceil(Math.log2(Math.max(16, pieceLength)));
  const listeners = sweeps
    .filter((sweep) => sweep.durationSeconds * sampleRateHz < pieceLength)
    .map((sweep) => ({ sweep, detector: detectorFor({ sweep, sampleRateHz, size }) }));
  if (listeners.length === 0) return { takes: [], aborted: [] };
  const hits = new Map<Sweep, SweepHit[]>(sweeps.map((sweep) => [sweep, []]));
  const overlap = Math.max(...listeners.map(({ detector }) => detector.templateLength));
  const pieces = piecesOf(sound, { channels, decimator, pieceLength, overlap });
  const spectrum = spectrumWork(size + 2);
  let found: FoundTracks = { takes: [], aborted: [] };
  const pieceOf = pieceReader(sound, { decimator, length: pieceLength, mayHold: pieces.length === 1 });
  // A right side that is a little quieter than three left ones comes fourth: each is asked until nothing is lacking.
  for (let rank = 0; rank < channels.length && !fills(found, sound); rank++) {
    for (const { start, byStrength } of pieces) {
      const piece = pieceOf({ start, byStrength }, rank);
      realSpectrum(piece, size, spectrum);
      for (const { sweep, detector } of listeners) {
        const heard = hitsFrom(detector, { piece, spectrum, offsetSeconds: start / sampleRateHz });
        hits.get(sweep)!.push(...heard);
        onHits(sweep, heard);
      }
    }
    found = chooseTakes(hits);
  }
  return found;
}

/** The left sweep is on one channel and the right one on another: two are read at once, for most of the work is the reading. */
const CHANNELS_AT_ONCE = 2;

/** @param mayHold whether there is one piece only: channels of longer files would take too much memory */
function pieceReader(
  sound: Sound,
  of: { decimator: Decimator; length: number; mayHold: boolean },
): (piece: Piece, rank: number) => Float32Array {
  const atOnce = of.mayHold ? CHANNELS_AT_ONCE : 1;
  let held: Float32Array[] = [];
  return ({ start, byStrength }, rank) => {
    if (rank % atOnce === 0)
      held = readPiece(sound, { ...of, start, channels: byStrength.slice(rank, rank + atOnce) });
    return held[rank % atOnce];
  };
}

/** Less than this holds no main sweep. */
const EMPTY_SECONDS = 6;

/** Whether the takes found leave no room for another and lack nothing, so that further channels have nothing to add. */
function fills({ takes }: FoundTracks, sound: Sound): boolean {
  const edges = takes.flatMap(({ startSeconds, track }) => [
    startSeconds,
    startSeconds + track.durationSeconds,
  ]);
  const gaps = [0, ...edges, sound.length / sound.sampleRateHz];
  return (
    takes.length > 0 &&
    takes.every(({ missing }) => missing.length === 0) &&
    takes.every((_, i) => gaps[2 * i + 1] - gaps[2 * i] < EMPTY_SECONDS) &&
    gaps[gaps.length - 1] - gaps[gaps.length - 2] < EMPTY_SECONDS
  );
}

/** Those of one search: three sweeps. */
const MOST_DETECTORS_KEPT = 3;
const detectors = kept<SweepDetector>(MOST_DETECTORS_KEPT);

/** Recordings of a session are of one rate and about one length. */
function detectorFor(of: { sweep: Sweep; sampleRateHz: number; size: number }): SweepDetector {
  return detectors(`${of.sweep.durationSeconds} ${of.sampleRateHz} ${of.size}`, () => sweepDetector(of));
}

const spectrumWork = reused(doubles);

function hitsFrom(
  detector: SweepDetector,
  at: { piece: Float32Array; spectrum: Float64Array; offsetSeconds: number },
): SweepHit[] {
  return detector
    .find(at.piece, at.spectrum)
    .map((hit) => ({ ...hit, startSeconds: hit.startSeconds + at.offsetSeconds }));
}
