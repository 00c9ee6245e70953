import type { SweepResponse } from '../../dsp/sweep-response.ts';
import type { SectionId } from '../../tones/track.ts';
import { announcementsInSweep, comesAgain, NO_ANNOUNCEMENTS } from '../disturbances/find-announcements.ts';
import { mutedUpToHz } from '../disturbances/muted-start.ts';
import { noisySections, type Sweeps } from '../disturbances/noisy-sections.ts';
import { type CleanedSweep, type SweepKnock, withoutKnocks } from './section-response.ts';
import type { SectionResponses } from './section-responses.ts';
import { frequencyResponse } from './trusted-band.ts';

/** The sweeps of one channel without what was heard beside them. */
type InSection<What> = What & { readonly section: SectionId };

export interface CleanedSweeps {
  readonly openings: readonly SweepResponse[];
  readonly closings: readonly SweepResponse[];
  readonly low: SweepResponse | null;
  readonly knocks: readonly InSection<SweepKnock>[];
  readonly announcements: readonly InSection<CleanedSweep['announcements'][number]>[];
}

export function cleanedSweeps(sweeps: Sweeps, i: number): CleanedSweeps {
  const { openings, closings, low } = sweeps;
  const found = new Map<SectionResponses, CleanedSweep>();
  const isMuted =
    mutedUpToHz({ opening: openings[0].channels[i], closing: closings[0].channels[i] }) !== null;
  for (const sweep of noisySections(sweeps, i)) {
    if (!carriesSomething(sweep.channels[i])) continue;
    const side = [openings, closings].map((pair) => pair.indexOf(sweep)).find((at) => at >= 0);
    const others =
      side === undefined ? openings : [openings[side], closings[side]].filter((one) => one !== sweep);
    const isPart = [sweep, ...others].some((one) => one.isPart === true);
    const announcements =
      isPart || (sweep === openings[0] && isMuted)
        ? NO_ANNOUNCEMENTS
        : announcementsInSweep(sweep, i, others);
    const cleaned = withoutKnocks(sweep, i, announcements, (burst) =>
      comesAgain(sweep, i, { burst, others }),
    );
    if (cleaned !== null) found.set(sweep, cleaned);
  }
  const response = (sweep: SectionResponses) => found.get(sweep)?.response ?? sweep.channels[i];
  return {
    openings: openings.map(response),
    closings: closings.map(response),
    low: low === null ? null : response(low),
    knocks: [...found]
      .filter(([sweep]) => !closings.includes(sweep))
      .flatMap(([{ section }, { knocks }]) => knocks.map((knock) => ({ ...knock, section: section.id }))),
    announcements: [...found].flatMap(([{ section }, { announcements }]) =>
      announcements.map((one) => ({ ...one, section: section.id })),
    ),
  };
}

export function carriesSomething({ real, imag, sigma }: SweepResponse): boolean {
  return frequencyResponse({ real, imag, sigma }).trustedHz !== null;
}
