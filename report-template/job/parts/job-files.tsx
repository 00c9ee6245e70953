import { useEffect, useState } from 'preact/hooks';
import { counted } from '../../../src/words/figures.ts';
import { useJob, writtenSession } from '../job-view.ts';
import { composed } from '../keep/composed.ts';
import { chosenFiles, droppedFiles } from '../keep/dropped-files.ts';
import { filesOfJob } from '../keep/files-of-job.ts';
import type { Job } from '../keep/job.ts';
import { saveFile } from '../keep/save-file.ts';
import { zipOf } from '../keep/zip.ts';
import { withZipsOpened } from '../keep/zips-opened.ts';

/** Files of the job in and out: dropped, chosen, saved as one. */
export function JobFiles() {
  const job = useJob();
  const [told, setTold] = useState<string | null>(null);
  const [sure, setSure] = useState(false);
  const take = async (given: ReadonlyMap<string, Blob>) => setTold(await takeIn(job, given));
  useEffect(() => {
    const allow = (event: DragEvent) => event.preventDefault();
    const drop = (event: DragEvent) => {
      event.preventDefault();
      if (event.dataTransfer !== null) {
        droppedFiles(event.dataTransfer).then(take, () =>
          setTold('That cannot be read: was its card or disk taken out? Drop it once more.'),
        );
      }
    };
    document.addEventListener('dragover', allow);
    document.addEventListener('drop', drop);
    return () => {
      document.removeEventListener('dragover', allow);
      document.removeEventListener('drop', drop);
    };
  }, [job]);
  const choose = (input: HTMLInputElement) => {
    if (input.files !== null && input.files.length > 0) void take(chosenFiles(input.files));
    input.value = '';
  };
  const name = String(writtenSession(job).value.name ?? 'job');
  return (
    <div class="job-files">
      <label class="button">
        Open files
        <input type="file" multiple onChange={({ currentTarget }) => choose(currentTarget)} />
      </label>
      <label class="button">
        Open a folder
        <input
          type="file"
          multiple
          // @ts-expect-error not among the attributes that are described
          webkitdirectory=""
          onChange={({ currentTarget }) => choose(currentTarget)}
        />
      </label>
      <button
        type="button"
        disabled={job.files.size === 0}
        onClick={async () => saveFile(`${fileName(name)}.zip`, await zipOf(job.files))}
      >
        Save the job as one file
      </button>
      {sure ? (
        <>
          <button
            type="button"
            class="warn"
            onClick={() => {
              setSure(false);
              void job.clear();
            }}
          >
            Yes, clear it
          </button>
          <button type="button" onClick={() => setSure(false)}>
            Keep it
          </button>
        </>
      ) : (
        <button type="button" disabled={job.files.size === 0} onClick={() => setSure(true)}>
          New job
        </button>
      )}
      <p class="about" role="status">
        {sure
          ? 'This clears the job from the browser. Was it saved as one file?'
          : (told ??
            'Recordings, a folder, session and parts files or a saved job can be dropped anywhere here.')}
      </p>
    </div>
  );
}

/** Keeps what was given; answers what it was, in plain words. */
async function takeIn(job: Job, given: ReadonlyMap<string, Blob>): Promise<string> {
  const opened = await withZipsOpened(given);
  if ('noZip' in opened)
    return `${opened.noZip} cannot be read as a zip: it is another kind of file, or was cut off. Copy it once more.`;
  const found = filesOfJob(opened.files);
  if (found === null)
    return 'These are too many files for a job. Drop the folder of its recordings, or the recordings alone.';
  const left = leftOut(found.others);
  if (found.files.size === 0) return `Nothing in it belongs to a job.${left}`;
  const files = await composed(found.files);
  const names = [...files.keys()];
  const known = names.filter((name) => job.files.has(name)).length;
  // The answers that were typed belong to the session before.
  if (names.some((name) => /^[^/]*\.(ya?ml|json)$/i.test(name))) job.note('answers', undefined);
  if (!(await job.put(files))) return 'Nothing was taken in.';
  const sounds = names.filter((name) => /\.(wav|wave|bwf|rf64)$/i.test(name)).length;
  const replaced = known > 0 ? `, ${known} in place of those of the same name` : '';
  return `Taken in: ${counted(sounds, 'recording')} and ${counted(files.size - sounds, 'other file')}${replaced}.${left}`;
}

function leftOut(others: readonly string[]): string {
  if (others.length === 0) return '';
  const sounds = others.some((name) => /\.(mp3|m4a|aac|flac|ogg|opus|wma|aiff?)$/i.test(name));
  const why = sounds ? ' Recordings have to be WAV: the others lose what is to be measured.' : '';
  return ` Left out: ${counted(others.length, 'file')} of another kind, such as ${others[0]}.${why}`;
}

function fileName(name: string): string {
  return name.replace(/[^\p{L}\p{N} _-]+/gu, '').trim() || 'job';
}
