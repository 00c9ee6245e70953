import { useEffect } from 'preact/hooks';
import type { Check } from '../../../src/model/check.ts';
import { useJob } from '../job-view.ts';
import type { Job } from '../keep/job.ts';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { ask, warmUp } from '../work/ask.ts';
import { NoRecordings } from './no-recordings.tsx';
import type { Kept } from './progress-of-job.ts';

/** Whether the recordings are usable and enough, while the dash is still open. */
export function CheckStep() {
  const job = useJob();
  const running = useRunning();
  useEffect(warmUp, []);
  const kept = job.noted<Kept & { check: Check }>('check');
  // `You may close the dash: no, ...`
  const [, answer, reasons] = /^([^,]*)(.*)$/s.exec(kept?.text.split('\n').at(-1) ?? '')!;
  const isChecked = kept?.stamp === job.stamp();
  const names = job.recordings();
  return (
    <>
      <p>
        Says of each take whether it is usable, what to record again or next, and whether you may close the
        dash.
      </p>
      {names.length === 0 ? (
        <NoRecordings />
      ) : (
        <RunButton
          running={running}
          main={!isChecked}
          work={async (onProgress) => {
            const stamp = job.stamp();
            const { check, lines } = await ask('check', {}, { files: job.files, onProgress });
            job.note('check', { stamp, check, text: lines.join('\n') });
            job.noteAgain(names, false);
            job.noteAgain(filesToRecordAgain(check), true);
          }}
        >
          Check {names.length === 1 ? 'the recording' : `${names.length} recordings`}
        </RunButton>
      )}
      {kept !== undefined && (
        <section aria-live="polite">
          {!isChecked && <p class="stale">Recordings or session changed since: check again.</p>}
          <div class={kept.check.mayCloseDash ? 'verdict' : 'verdict again'}>
            <p>
              <strong>{answer}</strong>
              {reasons}
            </p>
          </div>
          <Lines text={kept.text.split('\n').slice(0, -1).join('\n')} />
        </section>
      )}
      {names.length > 0 && <RecordingsOfJob job={job} names={names} />}
    </>
  );
}

function filesToRecordAgain({ takes }: Check): string[] {
  const spoilt = takes.filter(({ remarks }) => remarks.some(({ weight }) => weight === 'record again'));
  return [...new Set(spoilt.map(({ facts }) => facts.file))];
}

function RecordingsOfJob({ job, names }: { readonly job: Job; readonly names: readonly string[] }) {
  return (
    <details>
      <summary>Recordings of this job</summary>
      <ul class="files">
        {names.map((name) => (
          <li key={name}>
            {name}, {(job.files.get(name)!.size / 1e6).toFixed(1)} MB{' '}
            <button type="button" onClick={() => void job.drop([name])}>
              Take out<span class="unseen"> {name}</span>
            </button>
          </li>
        ))}
      </ul>
    </details>
  );
}
