import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { TextField } from '../forms/field.tsx';
import { sessionForm, useJob } from '../job-view.ts';
import { SCREENING } from '../keep/folders.ts';
import type { Job } from '../keep/job.ts';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { ask } from '../work/ask.ts';
import { type Kept, takesOf } from './progress-of-job.ts';
import { RecordTakes } from './record-takes.tsx';

/** Before anything is opened: a microphone at the seat tells what changes with the volume, and nothing else. */
export function ScreenStep() {
  const job = useJob();
  const form = sessionForm(job, SCREENING);
  const running = useRunning();
  const begun = job.sessionFile(SCREENING) !== null;
  const kept = job.noted<Kept>('screening');
  const names = job.recordings(SCREENING);
  return (
    <>
      <p>
        Before you turn a screw, lay this phone where the driver’s head is, and leave it there. Close doors
        and windows, and record the response-only track at a low, a middle and a high volume.
      </p>
      <p class="about">
        It shows whether the radio cuts the bass as you turn it up, and from where. All else (volts, clipping,
        band, polarity, timing, noise) takes an open dash.
      </p>
      <p class="caution">
        Step up from quiet, leave the car or protect your ears at the high one, and stop at any distress.
      </p>
      <div class="fields">
        <TextField
          label="Three volume settings"
          value={begun ? String(form.written.value.settings ?? '') : ''}
          help="Low, middle and high, such as 10, 22, 34."
          fault={form.written.faults.get('settings')}
          onInput={(text) =>
            begun
              ? form.set(['settings'], text)
              : job.beginSession(
                  {
                    name: 'Screening by phone',
                    settings: text,
                    taps: [{ id: 'microphone', position: 'microphone' }],
                    channels: ['microphone'],
                  },
                  SCREENING,
                )
          }
        />
      </div>
      {begun && <RecordTakes step="screen" inside={SCREENING} list={screeningTakes(job)} caution={null} />}
      {names.length > 1 && (
        <RunButton
          running={running}
          main={kept?.stamp !== job.stamp(SCREENING) && names.length >= screeningTakes(job).length}
          work={async (onProgress) => {
            const stamp = job.stamp(SCREENING);
            const text = await ask('screen', {}, { files: job.files, inside: SCREENING, onProgress });
            job.note('screening', { stamp, text });
          }}
        >
          Read these {names.length} takes
        </RunButton>
      )}
      {kept !== undefined && kept.stamp !== job.stamp(SCREENING) && (
        <p class="stale">Takes or settings changed since: read them again.</p>
      )}
      {kept !== undefined && <Lines text={kept.text} />}
    </>
  );
}

/** The response-only track at each setting. */
function screeningTakes(job: Job): Take[] {
  return takesOf(job, SCREENING)
    .filter(({ setting }) => typeof setting === 'number')
    .map((take) => ({ ...take, what: 'Microphone', play: 'response only' }));
}
