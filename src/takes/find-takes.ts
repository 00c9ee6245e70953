import type { Sound } from '../audio/sound.ts';
import { type Decimator, decimatorBy } from '../dsp/decimate.ts';
import { realSpectrum } from '../dsp/fft.ts';
import type { Sweep } from '../dsp/sweep.ts';
import { fullTrack, responseTrack, type SweepSection, type Track } from '../tones/track.ts';
import { type SweepDetector, type SweepHit, sweepDetector } from './sweep-detector.ts';

/** One playing of a test track in a recording. */
export interface Take {
  readonly track: Track;
  /** Where the track starts in the recording, to a few milliseconds; negative where the recording started late. */
  readonly startSeconds: number;
  /** Sum of the likeness of its sweeps: how sure the find is. */
  readonly score: number;
  /** Sections of which nothing was heard on any channel. */
  readonly missing: readonly string[];
}

/** A playing of the track that was broken off: it cannot be measured, but it has to be told. */
export interface AbortedTrack {
  readonly startSeconds: number;
  /** Where the last sweep that was heard ends. */
  readonly endSeconds: number;
}

export interface FoundTracks {
  readonly takes: readonly Take[];
  readonly aborted: readonly AbortedTrack[];
}

/** A sweep this much like its template begins a track that was broken off; less is an echo of another section. */
const ABORTED_LIKENESS = 0.4;
/** The search runs at about this rate: it finds any tap with content below 1 kHz. */
const SEARCH_RATE_HZ = 2700;
/** Second try, for files that hold nothing but tweeters. */
const TWEETER_SEARCH_RATE_HZ = 24_000;
/** Holds a track with some seconds around it at SEARCH_RATE_HZ; longer files are searched in overlapping pieces. */
const PIECE_SIZE = 2 ** 17;
const TWEETER_PIECE_SIZE = 2 ** 20;
const READ_BLOCK_FRAMES = 2 ** 17;
const MOST_CHANNELS = 3;
/** Clock differences up to 600 ppm over 44 s, radio latency and filter delays. */
const POSITION_TOLERANCE_SECONDS = 0.06;

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

function search(
  sound: Sound,
  channels: readonly number[],
  { aboutRateHz, mostSamples }: { aboutRateHz: number; mostSamples: number },
): FoundTracks {
  const decimator = decimatorBy(Math.max(1, Math.round(sound.sampleRateHz / aboutRateHz)));
  const sampleRateHz = sound.sampleRateHz / decimator.factor;
  const sweeps = [
    ...new Set([fullTrack, responseTrack].flatMap((track) => sweepSections(track).map((s) => s.sweep))),
  ];
  const pieceLength = Math.min(mostSamples, Math.ceil(sound.length / decimator.factor));
  const size = 2 ** Math.ceil(Math.log2(Math.max(16, pieceLength)));
  const detectors = sweeps
    .filter((sweep) => sweep.durationSeconds * sampleRateHz < pieceLength)
    .map((sweep) => ({ sweep, detector: detectorFor({ sweep, sampleRateHz, size }) }));
  if (detectors.length === 0) return { takes: [], aborted: [] };
  const hits = new Map<Sweep, SweepHit[]>(sweeps.map((sweep) => [sweep, []]));
  const overlap = Math.max(...detectors.map(({ detector }) => detector.templateLength));
  const spectrum = new Float64Array(size + 2);
  for (let start = 0; ; start += pieceLength - overlap) {
    const pieces = readPiece(sound, { channels, decimator, start, length: pieceLength });
    for (const piece of strongest(pieces)) {
      realSpectrum(piece, size, spectrum);
      for (const { sweep, detector } of detectors)
        hits
          .get(sweep)!
          .push(...hitsFrom(detector, { piece, spectrum, offsetSeconds: start / sampleRateHz }));
    }
    if ((start + pieceLength) * decimator.factor >= sound.length) break;
  }
  return chooseTakes(hits);
}

const detectors = new Map<string, SweepDetector>();
/** Those of one search: three sweeps. */
const MOST_DETECTORS_KEPT = 3;

/** Recordings of a session are of one rate and about one length. */
function detectorFor(of: { sweep: Sweep; sampleRateHz: number; size: number }): SweepDetector {
  const key = `${of.sweep.durationSeconds} ${of.sampleRateHz} ${of.size}`;
  let detector = detectors.get(key);
  if (detector === undefined) {
    if (detectors.size >= MOST_DETECTORS_KEPT) detectors.clear();
    detector = sweepDetector(of);
    detectors.set(key, detector);
  }
  return detector;
}

function hitsFrom(
  detector: SweepDetector,
  at: { piece: Float32Array; spectrum: Float64Array; offsetSeconds: number },
): SweepHit[] {
  return detector
    .find(at.piece, at.spectrum)
    .map((hit) => ({ ...hit, startSeconds: hit.startSeconds + at.offsetSeconds }));
}

/** `length` decimated samples of each channel from decimated sample `start`, read in blocks that fit in little memory. */
function readPiece(
  sound: Sound,
  of: { channels: readonly number[]; decimator: Decimator; start: number; length: number },
): Float32Array[] {
  const { factor, margin } = of.decimator;
  const pieces = of.channels.map(() => new Float32Array(of.length));
  const blockOutputs = Math.floor(READ_BLOCK_FRAMES / factor);
  let into: Float32Array[] | undefined;
  for (let done = 0; done < of.length; done += blockOutputs) {
    const outputs = Math.min(blockOutputs, of.length - done);
    const start = (of.start + done) * factor - margin;
    const count = (outputs - 1) * factor + 2 * margin + 1;
    into = sound.readSection({ start, count, into: into?.[0].length === count ? into : undefined });
    for (const [i, channel] of of.channels.entries())
      pieces[i].set(of.decimator.decimate(into[channel]), done);
  }
  return pieces.map(withoutOffset);
}

/** A recorder's offset would count as signal that no sweep explains. */
function withoutOffset(piece: Float32Array): Float32Array {
  let sum = 0;
  for (let n = 0; n < piece.length; n++) sum += piece[n];
  const mean = sum / piece.length;
  for (let n = 0; n < piece.length; n++) piece[n] -= mean;
  return piece;
}

function strongest(pieces: readonly Float32Array[]): Float32Array[] {
  const energy = new Map(
    pieces.map((piece) => [piece, piece.reduce((sum, value) => sum + value * value, 0)]),
  );
  return [...pieces]
    .sort((a, b) => energy.get(b)! - energy.get(a)!)
    .slice(0, MOST_CHANNELS)
    .filter((piece) => energy.get(piece)! > 0);
}

/** Every hit of a main sweep proposes a start; the best proposals that do not overlap are the takes. */
function chooseTakes(hits: ReadonlyMap<Sweep, readonly SweepHit[]>): FoundTracks {
  const proposals: Take[] = [];
  for (const track of [fullTrack, responseTrack]) {
    const sections = sweepSections(track);
    for (const section of sections)
      for (const hit of hits.get(section.sweep) ?? [])
        proposals.push(judge(track, sections, hit.startSeconds - section.startSeconds, hits));
  }
  const byScore = proposals.sort((a, b) => b.score - a.score);
  const takes: Take[] = [];
  for (const proposal of byScore) if (isWhole(proposal) && isFree(proposal, takes)) takes.push(proposal);
  const aborted: Take[] = [];
  for (const proposal of byScore)
    if (hasBegun(proposal) && isFree(proposal, [...takes, ...aborted])) aborted.push(proposal);
  const inTime = (a: { startSeconds: number }, b: { startSeconds: number }) =>
    a.startSeconds - b.startSeconds;
  return {
    takes: takes.sort(inTime),
    aborted: aborted
      .map((take) => ({ startSeconds: take.startSeconds, endSeconds: take.startSeconds + heardEnd(take) }))
      .sort(inTime),
  };
}

function isFree(proposal: Take, chosen: readonly Take[]): boolean {
  return chosen.every(
    (take) =>
      proposal.startSeconds + heardStart(proposal) >= take.startSeconds + heardEnd(take) ||
      take.startSeconds + heardStart(take) >= proposal.startSeconds + heardEnd(proposal),
  );
}

function judge(
  track: Track,
  sections: readonly SweepSection[],
  startSeconds: number,
  hits: ReadonlyMap<Sweep, readonly SweepHit[]>,
): Take {
  let score = 0;
  let shift = 0;
  const missing: string[] = [];
  for (const section of sections) {
    const expected = startSeconds + section.startSeconds;
    const near = (hits.get(section.sweep) ?? []).filter(
      (hit) => Math.abs(hit.startSeconds - expected) < POSITION_TOLERANCE_SECONDS,
    );
    const best = near.reduce<SweepHit | null>(
      (a, b) => (a === null || b.likeness > a.likeness ? b : a),
      null,
    );
    if (best === null) missing.push(section.id);
    else {
      score += best.likeness;
      shift += best.likeness * (best.startSeconds - expected);
    }
  }
  return { track, startSeconds: startSeconds + (score > 0 ? shift / score : 0), score, missing };
}

/** A take counts when it has a main sweep and a closing sweep: without the closing one it was stopped early. */
function isWhole({ missing }: Take): boolean {
  const has = (left: string, right: string) => !missing.includes(left) || !missing.includes(right);
  return has('sweep left', 'sweep right') && has('closing left', 'closing right');
}

/** One main sweep that is surely one, and no closing sweep. */
function hasBegun(take: Take): boolean {
  return (
    !isWhole(take) &&
    !['sweep left', 'sweep right'].every((id) => take.missing.includes(id)) &&
    take.score >= ABORTED_LIKENESS
  );
}

/** Of a whole take everything counts as heard; of one that was broken off only what was found. */
function heardStart(take: Take): number {
  return heardSections(take)[0].startSeconds;
}

function heardEnd(take: Take): number {
  const last = heardSections(take).at(-1)!;
  return last.startSeconds + last.durationSeconds;
}

function heardSections(take: Take): SweepSection[] {
  const sections = sweepSections(take.track);
  return isWhole(take) ? sections : sections.filter(({ id }) => !take.missing.includes(id));
}

function sweepSections(track: Track): SweepSection[] {
  return track.sections.filter((section): section is SweepSection => section.kind === 'sweep');
}
