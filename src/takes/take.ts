import type { Track } from '../tones/track.ts';

/** One playing of a test track in a recording. */
export interface Take {
  readonly track: Track;
  /** Where the track starts in the recording, to a few milliseconds; negative where the recording started late. */
  readonly startSeconds: number;
  /** Sum of the correlation of its sweeps: how sure the find is. */
  readonly score: number;
  /** Sections of which nothing was heard on any channel. */
  readonly missing: readonly string[];
}

export interface FoundTracks {
  readonly takes: readonly Take[];
  readonly aborted: readonly AbortedTrack[];
}

/** A playing of the track that was broken off: it cannot be measured, but it has to be told. */
export interface AbortedTrack {
  readonly startSeconds: number;
  /** Where the last sweep that was heard ends. */
  readonly endSeconds: number;
}
