import { useState } from 'preact/hooks';
import { ChoiceField } from '../forms/field.tsx';
import { useJob } from '../job-view.ts';
import type { Job } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import { zipOf } from '../keep/zip.ts';
import { Lines } from '../parts/lines.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { PLAN, usePlan } from '../parts/use-plan.ts';
import { ask } from '../work/ask.ts';
import type { OutFiles } from '../work/tasks.ts';

/** Where the music of the clips stands among the files of the job, while they are made. */
const MUSIC = 'music of the clips';

/** Curves and clips of the results that are there. */
export function TablesAndSound() {
  const job = useJob();
  const running = useRunning();
  return (
    <>
      <h3>Tables and sound</h3>
      <p>
        Curves as CSV tables; clips that let the customer hear the missing bass (begin with the volume down).
      </p>
      <RunButton
        running={running}
        work={async () => saveAll('curves', await ask('curves', { plan: PLAN }, { files: job.files }))}
      >
        Save the curves
      </RunButton>
      <Clips job={job} />
    </>
  );
}

function Clips({ job }: { readonly job: Job }) {
  const running = useRunning();
  const [music, setMusic] = useState<File | null>(null);
  const [feedId, setFeedId] = useState('');
  const [made, setMade] = useState<string | null>(null);
  const save = async () => {
    const { files, text } = await ask(
      'clips',
      { plan: PLAN, music: music === null ? null : MUSIC, feedId: feedId === '' ? undefined : feedId },
      { files: music === null ? job.files : new Map([...job.files, [MUSIC, music]]) },
    );
    await saveAll('clips', files);
    setMade(text);
  };
  return (
    <>
      <RunButton running={running} work={save}>
        Save the clips
      </RunButton>
      {made !== null && <Lines text={made} />}
      <details>
        <summary>Clips of other music, or of another feed</summary>
        <p>
          <label class="button">
            Choose music (WAV)
            <input
              type="file"
              accept=".wav,audio/wav"
              onChange={({ currentTarget }) => setMusic(currentTarget.files?.[0] ?? null)}
            />
          </label>{' '}
          {music === null
            ? 'They play a phrase of Steptone’s own.'
            : `They play the first half minute of ${music.name}.`}
        </p>
        <FeedChoice job={job} feedId={feedId} setFeedId={setFeedId} />
      </details>
    </>
  );
}

function FeedChoice(of: {
  readonly job: Job;
  readonly feedId: string;
  readonly setFeedId: (feedId: string) => void;
}) {
  const plan = usePlan(of.job);
  return (
    <ChoiceField
      label="Feed"
      value={of.feedId}
      choices={[
        ['', 'subwoofer’s, if its outputs are full range'],
        ...(plan?.feedIds ?? []).map((id) => [id, id.replace(/^feed-/, '')] as const),
      ]}
      onChoose={of.setFeedId}
    />
  );
}

async function saveAll(name: string, files: OutFiles): Promise<void> {
  const parts = Object.entries(files).map(
    ([file, content]) => [file, new Blob([content as string | Uint8Array<ArrayBuffer>])] as const,
  );
  saveFile(`${name}.zip`, await zipOf(new Map(parts)));
}
