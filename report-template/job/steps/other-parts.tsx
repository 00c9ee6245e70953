import { REPORT_FILE, SHEET_FILES } from '../../../src/report/page-files.ts';
import type { Take } from '../../../src/tones/bench-sheet/take-list.ts';
import { ChoiceField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import { CONFIRM, OUT } from '../keep/folders.ts';
import { type Job, pathIn } from '../keep/job.ts';
import { FileLinks } from '../parts/file-links.tsx';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { PLAN, type Plan, usePlan } from '../parts/use-plan.ts';
import { ask } from '../work/ask.ts';
import { RecordTakes } from './record-takes.tsx';
import { SHEET_WORDS } from './sheet-words.ts';

/** Where the plan for other parts is put. */
const REPLANNED = `${OUT}/replanned`;

/** Plans anew from the saved results; one short take shows that the radio is still the same. */
export function OtherParts() {
  const job = useJob();
  const running = useRunning();
  const plan = usePlan(job);
  const equipment = job.equipmentFile(undefined);
  const taken = job.recordings(CONFIRM);
  const text = job.noted<string>('replanned');
  return (
    <>
      <h3>Other parts, same radio</h3>
      <p>After a change of parts Steptone plans again from the saved results, without the recordings.</p>
      {plan !== null && plan.confirm !== null && <SameRadio job={job} plan={plan} />}
      {!job.files.has(equipment) && <p>Enter the new parts under Car and parts, or drop their file here.</p>}
      <RunButton
        running={running}
        disabled={!job.files.has(equipment)}
        work={async () => {
          const confirm = taken.length === 0 ? null : confirmedAt(job, plan);
          const { files, text } = await ask(
            'replan',
            { plan: PLAN, equipment, confirm },
            { files: job.files, inside: CONFIRM },
          );
          if (files !== null) await job.putOut(REPLANNED, files);
          job.note('replanned', text);
        }}
      >
        Plan again
      </RunButton>
      <FileLinks
        job={job}
        files={[
          [`${REPLANNED}/${REPORT_FILE}`, 'Report of the new plan'],
          ...SHEET_FILES.map(
            (name) => [`${REPLANNED}/${name}`, `${SHEET_WORDS[name]} of the new plan`] as const,
          ),
        ]}
      />
      {text !== undefined && <Lines text={text} />}
    </>
  );
}

interface At {
  readonly tapId: string;
  readonly setting: number;
}

/** The output and setting of the short take: as chosen, else as the plan names them. */
function confirmedAt(job: Job, plan: Plan | null): At | null {
  return job.noted<At>('confirmed-at') ?? plan?.confirm ?? null;
}

function SameRadio({ job, plan }: { readonly job: Job; readonly plan: Plan }) {
  const at = confirmedAt(job, plan)!;
  const taken = job.recordings(CONFIRM);
  const choose = (change: Partial<At>) => {
    const now = { ...at, ...change };
    job.note('confirmed-at', now);
    begin(job, now);
  };
  const take: Take = {
    number: 1,
    what: at.tapId,
    setting: at.setting,
    play: 'response only',
    file: `setting-${at.setting}.wav`,
  };
  return (
    <details open={taken.length > 0}>
      <summary>Is it still the same radio? One short take tells</summary>
      <p>
        {taken.length === 0
          ? 'Record it here, or open a recorded one. Steptone plans again only if the radio is the same.'
          : `${taken.map((name) => name.replace(/^.*\//, '')).join(', ')} will be compared with the old recordings.`}
      </p>
      <div class="fields">
        <ChoiceField
          label="Output"
          value={at.tapId}
          choices={plan.tapIds.map((id) => [id, id])}
          onChoose={(tapId) => choose({ tapId })}
        />
        <ChoiceField
          label="At volume setting"
          value={String(at.setting)}
          choices={plan.settings.map((setting) => [String(setting), String(setting)])}
          onChoose={(setting) => choose({ setting: Number(setting) })}
        />
      </div>
      <TakeInHand job={job} at={at} />
      {job.sessionFile(CONFIRM) === null ? (
        <button type="button" onClick={() => begin(job, at)}>
          Record it
        </button>
      ) : (
        <RecordTakes step="report" inside={CONFIRM} list={[take]} />
      )}
    </details>
  );
}

/** One that was recorded elsewhere. */
function TakeInHand({ job, at }: { readonly job: Job; readonly at: At }) {
  const taken = job.recordings(CONFIRM);
  const open = async (files: FileList | null) => {
    const [file] = files ?? [];
    if (file === undefined) return;
    await job.drop(taken);
    begin(job, at);
    await job.put(new Map([[pathIn(CONFIRM, file.name), file]]));
  };
  return (
    <p class="run">
      <label class="button">
        Open the take
        <input
          type="file"
          accept=".wav,audio/wav"
          onChange={({ currentTarget: { files } }) => void open(files)}
        />
      </label>{' '}
      {taken.length > 0 && (
        <button type="button" onClick={() => void job.drop(taken)}>
          Plan without it
        </button>
      )}
    </p>
  );
}

function begin(job: Job, { tapId, setting }: At): void {
  job.beginSession(
    { name: 'The same radio?', settings: String(setting), taps: [tapId], channels: [tapId] },
    CONFIRM,
  );
}
