import { useEffect } from 'preact/hooks';
import { RESULTS_FILE } from '../../../src/commands/result-files.ts';
import { REPORT_FILE, SHEET_FILES } from '../../../src/report/page-files.ts';
import { useJob } from '../job-view.ts';
import { OUT } from '../keep/folders.ts';
import { FileLinks } from '../parts/file-links.tsx';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { ask, warmUp } from '../work/ask.ts';
import { NoRecordings } from './no-recordings.tsx';
import { OtherParts } from './other-parts.tsx';
import type { Kept } from './progress-of-job.ts';
import { SHEET_WORDS } from './sheet-words.ts';
import { TablesAndSound } from './tables-and-sound.tsx';

/** Analysis of the recordings, its pages, and what else follows from the results. */
export function ReportStep() {
  const job = useJob();
  const running = useRunning();
  useEffect(warmUp, []);
  const kept = job.noted<Kept>('analysis');
  const isCurrent = job.hasReport() && kept?.stamp === job.stamp();
  return (
    <>
      <p>Measures the recordings, finds what the radio does, and plans outputs, gains, filters and limits.</p>
      {job.recordings().length === 0 ? (
        <NoRecordings />
      ) : (
        <RunButton
          running={running}
          main={!isCurrent}
          work={async (onProgress) => {
            const stamp = job.stamp();
            const { files, text } = await ask('analyse', {}, { files: job.files, onProgress });
            if (await job.putOut(OUT, files)) job.note('analysis', { stamp, text });
          }}
        >
          {isCurrent ? 'Analyse again' : 'Analyse'}
        </RunButton>
      )}
      {kept !== undefined && !isCurrent && job.hasReport() && (
        <p class="stale">Recordings, session or parts changed since: analyse again.</p>
      )}
      <FileLinks
        job={job}
        files={[
          [`${OUT}/${REPORT_FILE}`, 'Report'],
          ...SHEET_FILES.map((name) => [`${OUT}/${name}`, SHEET_WORDS[name]] as const),
          [`${OUT}/${RESULTS_FILE}`, 'Results, to keep with the car'],
        ]}
      />
      {kept !== undefined && <Lines text={kept.text} />}
      {job.hasReport() && <OtherParts />}
      {job.hasReport() && <TablesAndSound />}
    </>
  );
}
