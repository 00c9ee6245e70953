import { useEffect, useState } from 'preact/hooks';
import { REPORT_FILE } from '../../../src/report/page-files.ts';
import { counted } from '../../../src/words/figures.ts';
import { useJob, writtenSession } from '../job-view.ts';
import { composed } from '../keep/composed.ts';
import { chosenFiles, droppedFiles } from '../keep/dropped-files.ts';
import { filesOfJob } from '../keep/files-of-job.ts';
import { OUT } from '../keep/folders.ts';
import { foreignFolders, withoutFolders } from '../keep/inner-folder.ts';
import type { Job } from '../keep/job.ts';
import { notesIn, notesText, PAGE_NOTES_FILE } from '../keep/page-notes.ts';
import { saveFile } from '../keep/save-file.ts';
import { zipOf } from '../keep/zip.ts';
import { withZipsOpened } from '../keep/zips-opened.ts';

/** Files of the job in and out: dropped, chosen, saved as one. */
export function JobFiles() {
  const job = useJob();
  const [told, setTold] = useState<string | null>(null);
  const [sure, setSure] = useState(false);
  const take = async (given: ReadonlyMap<string, Blob>) => setTold(await takeIn(job, given));
  useDrops(job, { take, setTold });
  return (
    <div class="job-files">
      <OpenFiles take={take} />
      <SaveAsOne job={job} />
      <NewJob job={job} sure={sure} setSure={setSure} />
      <p class={sure || told !== null ? 'about' : 'about hint'} role="status">
        {sure
          ? 'This clears the job from the browser. Was it saved as one file?'
          : (told ??
            'Recordings, a folder, session and parts files or a saved job can be dropped anywhere here.')}
      </p>
    </div>
  );
}

type Take = (given: ReadonlyMap<string, Blob>) => Promise<void>;

/** Files and folders may be dropped anywhere on the page. */
function useDrops(job: Job, { take, setTold }: { take: Take; setTold: (told: string) => void }): void {
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
}

function OpenFiles({ take }: { readonly take: Take }) {
  const choose = (input: HTMLInputElement) => {
    if (input.files !== null && input.files.length > 0) void take(chosenFiles(input.files));
    input.value = '';
  };
  return (
    <>
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
    </>
  );
}

function SaveAsOne({ job }: { readonly job: Job }) {
  const name = String(writtenSession(job).value.name ?? 'job');
  return (
    <button
      type="button"
      disabled={job.files.size === 0}
      onClick={async () => saveFile(`${fileName(name)}.zip`, await zipOf(savedFiles(job)))}
    >
      Save the job as one file
    </button>
  );
}

/** Clears the job, once somebody said that it is meant. */
function NewJob(of: {
  readonly job: Job;
  readonly sure: boolean;
  readonly setSure: (sure: boolean) => void;
}) {
  const { job, sure, setSure } = of;
  if (!sure)
    return (
      <button type="button" disabled={job.files.size === 0} onClick={() => setSure(true)}>
        New job
      </button>
    );
  return (
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
  const inner = withoutFolders(found.files);
  const pageNotes = inner.get(PAGE_NOTES_FILE);
  inner.delete(PAGE_NOTES_FILE);
  const files = await composed(inner);
  const names = [...files.keys()];
  const known = names.filter((name) => job.files.has(name)).length;
  // The answers that were typed belong to the session before.
  if (names.some((name) => /^[^/]*\.(ya?ml|json)$/i.test(name))) job.note('answers', undefined);
  if (!(await job.put(files))) return 'Nothing was taken in.';
  for (const [name, value] of notesIn((await pageNotes?.text()) ?? '')) job.note(name, value);
  // A report without notes is of the files that came with it.
  if (pageNotes === undefined && files.has(`${OUT}/${REPORT_FILE}`))
    job.note('analysis', { stamp: job.stamp(), text: '' });
  const sounds = names.filter((name) => /\.(wav|wave|bwf|rf64)$/i.test(name)).length;
  const replaced = known > 0 ? `, ${known} in place of those of the same name` : '';
  const others = files.size > sounds ? ` and ${counted(files.size - sounds, 'other file')}` : '';
  return `Taken in: ${counted(sounds, 'recording')}${others}${replaced}.${notRead(names)}${left}`;
}

function notRead(names: readonly string[]): string {
  const folders = foreignFolders(names);
  return folders.length === 0
    ? ''
    : ` Not read: recordings in the ${folders.length === 1 ? 'folder' : 'folders'} ${folders.join(', ')}. Drop the files without ${folders.length === 1 ? 'it' : 'them'}.`;
}

function leftOut(others: readonly string[]): string {
  if (others.length === 0) return '';
  const sounds = others.some((name) => /\.(mp3|m4a|aac|flac|ogg|opus|wma|aiff?)$/i.test(name));
  const why = sounds ? ' Recordings have to be WAV: the others lose what is to be measured.' : '';
  return ` Left out: ${counted(others.length, 'file')} of another kind, such as ${others[0]}.${why}`;
}

function savedFiles(job: Job): Map<string, Blob> {
  return new Map([...job.files, [PAGE_NOTES_FILE, new Blob([notesText(job.notes)])]]);
}

function fileName(name: string): string {
  return name.replace(/[^\p{L}\p{N} _-]+/gu, '').trim() || 'job';
}
