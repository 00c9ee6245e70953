import type { Doubt } from '../../model/doubt.ts';
import { type Finding, findingsOf } from '../../model/finding.ts';
import { isNotMeasurable } from '../../model/measured.ts';
import type { TapSeries } from '../tap-series.ts';

/** Input stages give out this little below the full scale of what follows them (common practice). */
const BELOW_FULL_SCALE_DB = 6;
/** Clips of one ceiling lie this close in the recording; noise of each. */
const SAME_CEILING_DB = 0.3;

/**
 * The doubt about clipping that may be the recorder's own input: every clip of every tap and setting lies at one level just
 * below the recorder's full scale. Where the volts there are what the supply allows, it is the radio's rail.
 */
export function recorderCeilingDoubts(findings: readonly Finding[], series: readonly TapSeries[]): Doubt[] {
  const levels = series.flatMap(({ takes }) => takes.flatMap(clipPointsDbFs));
  const alike = levels.length > 0 && Math.max(...levels) - Math.min(...levels) < SAME_CEILING_DB;
  const near = Math.min(...levels) > -BELOW_FULL_SCALE_DB;
  const byTheRail = findingsOf(findings, 'rail').some(({ verdict }) => verdict === 'as the supply allows');
  if (!alike || !near || byTheRail) return [];
  const tapIds = series.map(({ tap }) => tap.id);
  return [{ kind: 'limit', reason: { code: 'recorder may be what clips' }, tapIds, settings: null }];
}

/** Levels of a sine whose peak meets the limit; a clip in front of the volume control lies at another at every setting. */
function clipPointsDbFs({ tones }: TapSeries['takes'][number]): number[] {
  return tones.flatMap(({ onset }) =>
    isNotMeasurable(onset) || onset.clipPointLevelDbFs === null ? [] : [onset.clipPointLevelDbFs],
  );
}
