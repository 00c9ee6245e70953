import { useEffect } from 'preact/hooks';
import { RESULTS_FILE } from '../../../src/commands/result-files.ts';
import { NEW_SESSION_DEFAULTS, newSession } from '../../../src/model/new-session.ts';
import { TextField } from '../forms/field.tsx';
import { numberIn } from '../forms/number-in.ts';
import { sessionForm, useJob } from '../job-view.ts';
import { AFTER_INSTALL, OUT } from '../keep/folders.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { FileLinks } from '../parts/file-links.tsx';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { PLAN, type Plan, usePlan } from '../parts/use-plan.ts';
import { ask, warmUp } from '../work/ask.ts';
import { type Kept, namedTakes, takesOf } from './progress-of-job.ts';
import { RecordTakes } from './record-takes.tsx';

/** Recordings behind the converter or the amplifier, held against the plan. */
export function ProveStep() {
  const job = useJob();
  const running = useRunning();
  useEffect(warmUp, []);
  const plan = usePlan(job);
  if (!job.files.has(PLAN))
    return <p>The proof needs the plan: analyse first, or drop the results.json of this car.</p>;
  const session = job.sessionFile(AFTER_INSTALL);
  const kept = job.noted<Kept>('proof');
  const names = job.recordings(AFTER_INSTALL);
  const isCurrent = kept?.stamp === job.stamp(AFTER_INSTALL);
  const takes = namedTakes(takesOf(job, AFTER_INSTALL)).filter(({ setting }) => typeof setting === 'number');
  const allThere = takes.every(({ file }) => job.files.has(pathIn(AFTER_INSTALL, file)));
  return (
    <>
      <p>
        Record the full track again at the amplifier’s outputs, through a pad for their volts, at a low
        setting and at the highest clean one. Connect the loads, protect your ears.
      </p>
      {session === null ? (
        <button
          type="button"
          class="main"
          disabled={plan === null}
          onClick={() => job.beginSession(sessionOfFeeds(plan!), AFTER_INSTALL)}
        >
          Begin the list of takes
        </button>
      ) : (
        <>
          <PadOfProof job={job} />
          <RecordTakes step="prove" inside={AFTER_INSTALL} />
          {names.length > 0 && (
            <RunButton
              running={running}
              main={allThere && !isCurrent}
              work={async (onProgress) => {
                const stamp = job.stamp(AFTER_INSTALL);
                const { files, text, passes } = await ask(
                  'verify',
                  { plan: PLAN },
                  { files: job.files, inside: AFTER_INSTALL, onProgress },
                );
                if (await job.putOut(`${AFTER_INSTALL}/${OUT}`, files))
                  job.note('proof', { stamp, text, passes });
              }}
            >
              Compare {names.length === 1 ? 'the recording' : `${names.length} recordings`} with the plan
            </RunButton>
          )}
        </>
      )}
      {kept !== undefined && !isCurrent && (
        <p class="stale">Takes or settings of the proof changed since: compare again.</p>
      )}
      <FileLinks
        job={job}
        files={[
          [`${AFTER_INSTALL}/${OUT}/verify.html`, 'Proof'],
          [`${AFTER_INSTALL}/${OUT}/${RESULTS_FILE}`, 'The plan with the volts as left: keep this one'],
        ]}
      />
      {kept !== undefined && <Lines text={kept.text} />}
    </>
  );
}

/** Settings to prove at, and the pad for the amplifier's volts. */
function PadOfProof({ job }: { readonly job: Job }) {
  const form = sessionForm(job, AFTER_INSTALL);
  const { value, faults } = form.written;
  const calibration = (value.calibration ?? {}) as Record<string, unknown>;
  const number = (name: 'padRatio' | 'fullScaleVoltsRms', label: string, help: string, unit?: string) => (
    <TextField
      label={label}
      unit={unit}
      help={help}
      numeric
      value={String(calibration[name] ?? '')}
      fault={faults.get(`calibration.${name}`)}
      onInput={(text) =>
        form.set(['calibration'], {
          ...(typeof value.calibration === 'object' ? calibration : { kind: 'pad' }),
          [name]: numberIn(text),
        })
      }
    />
  );
  return (
    <div class="fields">
      <TextField
        label="Volume settings to prove at"
        value={String(value.settings ?? '')}
        help="A low one, and the highest clean one of the hand-over sheet."
        fault={faults.get('settings')}
        onInput={(text) => form.set(['settings'], text)}
      />
      {number(
        'padRatio',
        'Pad ratio',
        'Of the pad at the amplifier: volts there over volts at the recorder.',
      )}
      {number(
        'fullScaleVoltsRms',
        'Full scale of the recorder',
        'Of a sine that just reaches full scale, with the gain as it stands.',
        'V RMS',
      )}
    </div>
  );
}

function sessionOfFeeds(plan: Plan) {
  const settings = [Math.min(...plan.settings), plan.highestClean ?? Math.max(...plan.settings)];
  return newSession({
    level: NEW_SESSION_DEFAULTS.level,
    name: 'After the install',
    settings: settings.join(', '),
    taps: (plan.feedIds.length > 0 ? plan.feedIds : plan.tapIds)
      .map((id) => id.replace(/^feed-/, ''))
      .join(', '),
    channels: '2',
    calibration: 'none',
  });
}
