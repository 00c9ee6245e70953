import type { Sweep } from '../dsp/sweep.ts';
import { fullTrack, responseTrack, type SweepSection, type Track } from '../tones/track.ts';
import type { SweepHit } from './sweep-detector.ts';
import type { FoundTracks, Take } from './take.ts';

/** A sweep this much like its template begins a track that was broken off; less is an echo of another section. */
const ABORTED_CORRELATION = 0.4;
/** Nothing is known better; and a knock somewhere does not then move the time zero of all the rest by a sample. */
const START_DECIMALS = 3;
/** Clock differences up to 600 ppm over 44 s, radio latency and filter delays. */
const POSITION_TOLERANCE_SECONDS = 0.06;

/** Every hit of a main sweep proposes a start; the best proposals that do not overlap are the takes. */
export function chooseTakes(hits: ReadonlyMap<Sweep, readonly SweepHit[]>): FoundTracks {
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
    takes: takes
      .map((take) => ({ ...take, startSeconds: Number(take.startSeconds.toFixed(START_DECIMALS)) }))
      .sort(inTime),
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
      (a, b) => (a === null || b.correlation > a.correlation ? b : a),
      null,
    );
    if (best === null) missing.push(section.id);
    else {
      score += best.correlation;
      shift += best.correlation * (best.startSeconds - expected);
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
    take.score >= ABORTED_CORRELATION
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

export function sweepSections(track: Track): SweepSection[] {
  return track.sections.filter((section): section is SweepSection => section.kind === 'sweep');
}
