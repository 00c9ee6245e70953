import { RESULTS_FILE } from '../../../src/commands/result-files.ts';
import { REPORT_FILE, SHEET_FILES } from '../../../src/report/page-files.ts';
import { useJob } from '../job-view.ts';
import { type Job, OUT } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import { zipOf } from '../keep/zip.ts';
import { FileLinks } from '../parts/file-links.tsx';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { ask } from '../work/ask.ts';
import type { OutFiles } from '../work/tasks.ts';
import type { Kept } from './progress-of-job.ts';

const SHEET_WORDS: Readonly<Record<(typeof SHEET_FILES)[number], string>> = {
  'estimate-sheet.html': 'Estimate sheet',
  'order-sheet.html': 'Order sheet',
  'dial-in-sheet.html': 'Dial-in sheet',
  'hand-over-sheet.html': 'Hand-over sheet',
  'comeback-sheet.html': 'Comeback sheet',
};

/** Analysis of the recordings, its pages, and what else follows from the results. */
export function ReportStep() {
  const job = useJob();
  const running = useRunning();
  const kept = job.noted<Kept>('analysis');
  return (
    <>
      <p>Measures the recordings, finds what the radio does, and plans outputs, gains, filters and limits.</p>
      <RunButton
        running={running}
        disabled={job.recordings().length === 0}
        work={async (onProgress) => {
          const stamp = job.stamp();
          const { files, text } = await ask('analyse', {}, { files: job.files, onProgress });
          if (await job.putOut(OUT, files)) job.note('analysis', { stamp, text });
        }}
      >
        Analyse
      </RunButton>
      {kept !== undefined && kept.stamp !== job.stamp() && job.hasReport() && (
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
      {job.hasReport() && <FromResults job={job} />}
    </>
  );
}

/** What follows from results alone: another plan, curves, sound clips. */
function FromResults({ job }: { readonly job: Job }) {
  const again = useRunning();
  const others = useRunning();
  const plan = `${OUT}/${RESULTS_FILE}`;
  const equipment = job.equipmentFile(undefined);
  const saveAll = async (name: string, files: OutFiles) =>
    saveFile(
      `${name}.zip`,
      await zipOf(
        new Map(
          Object.entries(files).map(([file, content]) => [
            file,
            new Blob([content as string | Uint8Array<ArrayBuffer>]),
          ]),
        ),
      ),
    );
  return (
    <>
      <h3>Other parts, same radio</h3>
      <p>After a change of parts: plans anew from the saved results, without the recordings.</p>
      <RunButton
        running={again}
        disabled={!job.files.has(equipment)}
        work={async () => {
          const { files, text } = await ask('replan', { plan, equipment }, { files: job.files });
          await job.putOut(`${OUT}/replanned`, files);
          job.note('replanned', text);
        }}
      >
        Plan again
      </RunButton>
      <FileLinks
        job={job}
        files={[
          [`${OUT}/replanned/${REPORT_FILE}`, 'Report of the new plan'],
          ...SHEET_FILES.map(
            (name) => [`${OUT}/replanned/${name}`, `${SHEET_WORDS[name]} of the new plan`] as const,
          ),
        ]}
      />
      {job.noted<string>('replanned') !== undefined && <Lines text={job.noted<string>('replanned')!} />}
      <h3>Tables and sound</h3>
      <p>
        Curves as CSV tables; clips that let the customer hear the missing bass (begin with the volume down).
      </p>
      <RunButton
        running={others}
        work={async () => saveAll('curves', await ask('curves', { plan }, { files: job.files }))}
      >
        Save the curves
      </RunButton>
      <RunButton
        running={others}
        work={async () => saveAll('clips', await ask('clips', { plan }, { files: job.files }))}
      >
        Save the clips
      </RunButton>
    </>
  );
}
