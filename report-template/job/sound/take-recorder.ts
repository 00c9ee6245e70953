import type { Block } from './capture.ts';
import { Heard } from './heard.ts';

/** Where a track that is played stands in what was heard. */
export interface Found {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly track: string;
}

export type Stage = 'waiting' | 'hearing' | 'ended';

/** Kept while nothing is heard: the lead-in fades in, and its start belongs to the take. */
const KEPT_BEFORE_SECONDS = 6;
/** Quiet around the track that goes into the file. */
const ROUND_SECONDS = 1;
/** This much above the quietest moment is something being played. */
const ONSET_DB = 10;
/** The shortest track. */
const SHORTEST_SECONDS = 19.5;
/** Between two searches; each takes about half a second of a worker. */
const SEARCH_EVERY_SECONDS = 2.5;
/** A track that is not found by then is another file, or was broken off. */
const LONGEST_SECONDS = 75;

/**
 * One take: waits for something to be heard, looks for the track in it now and then, and ends when the track has ended.
 *
 * @param track the one that the list asks for
 * @param search looks for a whole track; any time it likes to take
 * @param onEnd the samples of the take, or null where no whole track was heard
 */
export class TakeRecorder {
  stage: Stage = 'waiting';
  private readonly heard: Heard;
  private readonly of: {
    track: string;
    search: (channels: Float32Array[]) => Promise<Found | null>;
    onEnd: (take: { channels: Float32Array[]; whole: boolean }) => void;
  };
  private quietest = Number.POSITIVE_INFINITY;
  private onsetSeconds = 0;
  private searchedAt = 0;
  private searching = false;

  constructor(sampleRateHz: number, of: TakeRecorder['of']) {
    this.heard = new Heard(sampleRateHz);
    this.of = of;
  }

  /** Since the track began to be heard. */
  get seconds(): number {
    return this.stage === 'waiting' ? 0 : this.heard.seconds - this.onsetSeconds;
  }

  add(block: Block): void {
    if (this.stage === 'ended') return;
    this.heard.add(block);
    if (this.stage === 'waiting') this.listen(block);
    else this.lookForTrack();
  }

  /** Ends it by hand with what was heard. */
  stop(): void {
    this.end({ channels: this.heard.section(), whole: false });
  }

  private listen(block: Block): void {
    const power = Math.max(...block.map(meanSquare));
    if (power > 0 && power < this.quietest) this.quietest = power;
    if (power > this.quietest * 10 ** (ONSET_DB / 10)) {
      this.stage = 'hearing';
      this.onsetSeconds = this.heard.seconds;
      this.searchedAt = this.onsetSeconds + SHORTEST_SECONDS - SEARCH_EVERY_SECONDS;
    } else this.heard.keepLast(KEPT_BEFORE_SECONDS);
  }

  private lookForTrack(): void {
    if (this.searching || this.heard.seconds < this.searchedAt + SEARCH_EVERY_SECONDS) return;
    this.searchedAt = this.heard.seconds;
    this.searching = true;
    void this.of.search(this.heard.section()).then((found) => {
      this.searching = false;
      if (this.stage === 'ended') return;
      if (found !== null && found.track === this.of.track) this.endAfter(found);
      else if (this.seconds > LONGEST_SECONDS) this.stop();
    });
  }

  private endAfter({ startSeconds, endSeconds }: Found): void {
    if (this.heard.seconds < endSeconds + ROUND_SECONDS / 2) return;
    this.end({
      channels: this.heard.section({
        fromSeconds: startSeconds - ROUND_SECONDS,
        toSeconds: endSeconds + ROUND_SECONDS,
      }),
      whole: true,
    });
  }

  private end(take: { channels: Float32Array[]; whole: boolean }): void {
    if (this.stage === 'ended') return;
    this.stage = 'ended';
    this.of.onEnd(take);
  }
}

function meanSquare(samples: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < samples.length; i++) sum += samples[i] * samples[i];
  return sum / samples.length;
}
