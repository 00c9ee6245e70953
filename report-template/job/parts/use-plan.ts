import { useEffect, useState } from 'preact/hooks';
import { RESULTS_FILE } from '../../../src/commands/result-files.ts';
import { recommendationsOf } from '../../../src/model/recommendation.ts';
import type { Results } from '../../../src/model/results.ts';
import { OUT } from '../keep/folders.ts';
import type { Job } from '../keep/job.ts';

export const PLAN = `${OUT}/${RESULTS_FILE}`;

/** What further steps ask of the results that are there. */
export interface Plan {
  /** Of what the plan feeds. */
  readonly feedIds: readonly string[];
  readonly tapIds: readonly string[];
  readonly settings: readonly number[];
  readonly highestClean: number | null;
  /** The output and setting at which a short take shows that the radio is the same. */
  readonly confirm: { readonly tapId: string; readonly setting: number } | null;
}

/** The plan of a job; null while it is read, and where there is none. */
export function usePlan(job: Job): Plan | null {
  const [plan, setPlan] = useState<Plan | null>(null);
  const blob = job.files.get(PLAN);
  useEffect(() => {
    setPlan(null);
    void blob?.text().then((text) => setPlan(planIn(JSON.parse(text) as Results)));
  }, [blob]);
  return plan;
}

function planIn({ recommendations, session }: Results): Plan {
  const [clean] = recommendationsOf(recommendations, 'highest-clean-setting');
  const [confirm] = recommendationsOf(recommendations, 'confirm');
  return {
    feedIds: recommendationsOf(recommendations, 'feed').map(({ id }) => id),
    tapIds: session.taps.map(({ id }) => id),
    settings: session.settings,
    highestClean: clean?.recorded ?? null,
    confirm: confirm === undefined ? null : { tapId: confirm.tapId, setting: confirm.setting },
  };
}
