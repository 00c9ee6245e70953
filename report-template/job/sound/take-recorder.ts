import { powerRatioOf } from '../../../src/dsp/decibels.ts';
import { meanSquare } from '../../../src/dsp/statistics.ts';
import type { Block } from './block.ts';
import { Heard } from './heard.ts';

/** Where a track that is played stands in what was heard. */
export interface Found {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly track: string;
}

/** What was heard of a take. */
export interface HeardOfTake {
  readonly channels: Float32Array[];
  /** Whether the track was heard from its start to its end. */
  readonly whole: boolean;
  /** Whether the response-only track was heard where the full one is wanted. */
  readonly short: boolean;
}

type Stage = 'waiting' | 'hearing' | 'ended';

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
/** Longer than a door, a knock or a word, and far shorter than any track (chosen here). */
const LONGEST_KNOCK_SECONDS = 5;
/** Longer than any output is quiet within a track: a subwoofer's on the left side, from the last left sweep to the end, 11.4 s. */
const QUIET_AGAIN_SECONDS = 15;

/**
 * One take: waits for something to be heard, looks for the track in it now and then, and ends when the track has ended.
 *
 * @param track the one that the list asks for
 * @param search looks for a whole track; any time it likes to take
 * @param onEnd what was heard of it, once
 */
export class TakeRecorder {
  stage: Stage = 'waiting';
  private readonly heard: Heard;
  private readonly of: {
    track: string;
    search: (channels: Float32Array[]) => Promise<Found | null>;
    onEnd: (take: HeardOfTake) => void;
  };
  private quietest = Number.POSITIVE_INFINITY;
  private onsetSeconds = 0;
  private loudSeconds = 0;
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
    if (this.isLoud(block)) this.loudSeconds = this.heard.seconds;
    if (this.stage === 'waiting') this.listen();
    else this.lookForTrack();
  }

  /** Ends it by hand with what was heard. */
  stop(): void {
    this.endWithout(false);
  }

  private isLoud(block: Block): boolean {
    const power = Math.max(...block.map(meanSquare));
    if (this.stage === 'waiting' && power > 0 && power < this.quietest) this.quietest = power;
    return power > this.quietest * powerRatioOf(ONSET_DB);
  }

  private listen(): void {
    if (this.loudSeconds === this.heard.seconds) {
      this.stage = 'hearing';
      this.onsetSeconds = this.heard.seconds;
      this.searchedAt = this.onsetSeconds + SHORTEST_SECONDS - SEARCH_EVERY_SECONDS;
    } else this.forgetAllBut(KEPT_BEFORE_SECONDS);
  }

  private lookForTrack(): void {
    if (this.searching || this.heard.seconds < this.searchedAt + SEARCH_EVERY_SECONDS) return;
    this.searchedAt = this.heard.seconds;
    this.searching = true;
    const quietSeconds = this.heard.seconds - this.loudSeconds;
    void this.of.search(this.heard.section()).then((found) => {
      this.searching = false;
      if (this.stage === 'ended') return;
      if (found !== null && this.isWanted(found)) this.endAfter(found);
      else if (quietSeconds > QUIET_AGAIN_SECONDS) this.afterOtherSound(found);
      else if (this.seconds > LONGEST_SECONDS) this.stop();
    });
  }

  /** The full track holds what the response-only one does. */
  private isWanted({ track }: Found): boolean {
    return track === this.of.track || track === 'full';
  }

  /** After a door, a voice or a knock it goes on waiting. */
  private afterOtherSound(found: Found | null): void {
    if (found !== null) this.endWithout(true);
    else if (this.loudSeconds - this.onsetSeconds > LONGEST_KNOCK_SECONDS) this.stop();
    else {
      this.stage = 'waiting';
      this.forgetAllBut(KEPT_BEFORE_SECONDS);
    }
  }

  private forgetAllBut(seconds: number): void {
    const before = this.heard.seconds;
    this.heard.keepLast(seconds);
    this.loudSeconds -= before - this.heard.seconds;
  }

  private endAfter({ startSeconds, endSeconds }: Found): void {
    if (this.heard.seconds < endSeconds + ROUND_SECONDS / 2) return;
    this.end({
      channels: this.heard.section({
        fromSeconds: startSeconds - ROUND_SECONDS,
        toSeconds: endSeconds + ROUND_SECONDS,
      }),
      whole: true,
      short: false,
    });
  }

  private endWithout(short: boolean): void {
    this.end({ channels: this.heard.section(), whole: false, short });
  }

  private end(take: HeardOfTake): void {
    if (this.stage === 'ended') return;
    this.stage = 'ended';
    this.of.onEnd(take);
  }
}
