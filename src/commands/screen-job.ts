import { bassLevels } from '../findings/bass/bass-levels.ts';
import { type Screening, screening } from '../findings/bass/screening.ts';
import { tapSeries } from '../findings/tap-series.ts';
import { measureSession } from '../measure/measure-session.ts';
import { BASS_FREQUENCIES_HZ } from '../model/finding.ts';
import type { LoadedSession } from './load-session.ts';
import type { Shell } from './shell.ts';
import { withRecordings } from './with-recordings.ts';

/**
 * What takes of one microphone at the seat prove of the bass.
 *
 * @throws SteptoneError as `analyseJob` does where nothing can be used
 */
export function screenJob(
  loaded: LoadedSession,
  shell: Pick<Shell, 'sha256' | 'progress'>,
): Promise<Screening> {
  const { session } = loaded;
  return withRecordings(loaded, shell, ({ open }) => {
    const { measurements } = measureSession({ session, open, onProgress: shell.progress });
    const [series] = tapSeries({ session, measurements });
    const levels = bassLevels(series, [series]);
    return screening('notMeasurable' in levels ? [] : levels.perSetting, BASS_FREQUENCIES_HZ);
  });
}
