import type { SectionId } from '../../tones/track.ts';

/** A chime, a voice prompt or talk in a section; what it covered is not used. */
interface Announcement {
  readonly section: SectionId;
  /** In the recording. */
  readonly fromSeconds: number;
  readonly toSeconds: number;
}

/** A knock in a section; what it spoilt is not used. */
interface Knock {
  readonly section: SectionId;
  /** In the recording. */
  readonly atSeconds: number;
  /** Frequencies of a sweep that are not trusted for it; null elsewhere. */
  readonly spoiltHz: readonly [number, number] | null;
}

/** What disturbed one channel of a take. */
export interface Disturbances {
  readonly knocks: readonly Knock[];
  readonly announcements: readonly Announcement[];
}
