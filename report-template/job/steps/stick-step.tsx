import { useState } from 'preact/hooks';
import { BENCH_SHEET_FILE, FIRST_ESTIMATE_FILE } from '../../../src/commands/new-job.ts';
import { SteptoneError } from '../../../src/model/errors.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import { TRACK_RATES_HZ } from '../../../src/tones/render-track.ts';
import { stickFiles } from '../../../src/tones/stick-files.ts';
import { ChoiceField } from '../forms/field.tsx';
import { useJob, writtenSession } from '../job-view.ts';
import { saveFile } from '../keep/save-file.ts';
import { FileLinks } from '../parts/file-links.tsx';
import { RunButton, useRunning } from '../parts/running.tsx';
import { ask } from '../work/ask.ts';
import { PlayHere } from './play-here.tsx';

declare global {
  interface Window {
    /** Where the browser can write into a folder that is chosen (not everywhere). */
    showDirectoryPicker?: (options: { mode: 'readwrite' }) => Promise<FileSystemDirectoryHandle>;
  }
}

/** Test files for the stick, the bench sheet, and the track played from here where the radio takes no stick. */
export function StickStep() {
  const [rate, setRate] = useState('48000');
  const rates = rate === 'both' ? [...TRACK_RATES_HZ] : [Number(rate)];
  return (
    <>
      <p>
        The full track (44 s), the response-only track (19.5 s) and steady meter tones. Put them on the stick,
        and the stick into the radio.{canChoose() && ' The browser asks which folder is the stick.'}
      </p>
      <div class="fields">
        <ChoiceField
          label="Sample rate"
          value={rate}
          choices={[
            ['48000', '48 kHz'],
            ['44100', '44.1 kHz'],
            ['both', 'both'],
          ]}
          help="Older radios may take 44.1 kHz only."
          onChoose={setRate}
        />
      </div>
      <WriteFiles names={rates.flatMap(stickFiles).map(({ name }) => name)} />
      <SheetsToPrint />
      <PlayHere />
    </>
  );
}

function canChoose(): boolean {
  return window.showDirectoryPicker !== undefined;
}

function WriteFiles({ names }: { readonly names: readonly string[] }) {
  const job = useJob();
  const writing = useRunning();
  const saving = useRunning();
  const isWritten = job.noted<boolean>('stick-written') === true;
  const write = async (
    into: FileSystemDirectoryHandle | null,
    onProgress: (progress: { done: number; total: number; what: string }) => void,
  ) => {
    for (const [done, name] of names.entries()) {
      onProgress({ done, total: names.length, what: name });
      const wav = await ask('stickFile', { name });
      if (into === null) saveFile(name, new Blob([wav as Uint8Array<ArrayBuffer>], { type: 'audio/wav' }));
      else await writeInto(into, name, wav as Uint8Array<ArrayBuffer>);
    }
    job.note('stick-written', true);
  };
  return (
    <>
      {canChoose() && (
        <RunButton
          running={writing}
          main={!isWritten}
          disabled={saving.busy}
          work={async (onProgress) => {
            const into = await chosenFolder();
            if (into !== null) await write(into, onProgress);
          }}
        >
          Write {names.length} files to the stick
        </RunButton>
      )}
      <RunButton
        running={saving}
        main={!isWritten && !canChoose()}
        disabled={writing.busy}
        work={(onProgress) => write(null, onProgress)}
      >
        {canChoose() ? `Or save ${names.length} files as downloads` : `Save ${names.length} files`}
      </RunButton>
    </>
  );
}

function SheetsToPrint() {
  const job = useJob();
  const running = useRunning();
  const session = writtenSession(job).value as SessionInput;
  return (
    <>
      <h3>Sheets to print</h3>
      <p>
        The bench sheet has the numbered takes, wiring, pad and cautions (two sides). The estimate sheet is
        for the customer: what may turn up, and what each outcome needs.
      </p>
      <RunButton
        running={running}
        work={async () => {
          const made = await ask('newJob', { session });
          const sheets = [BENCH_SHEET_FILE, FIRST_ESTIMATE_FILE];
          await job.put(new Map(sheets.map((name) => [name, new Blob([made[name] as string])])));
        }}
      >
        Make the sheets
      </RunButton>
      <FileLinks
        job={job}
        files={[
          [BENCH_SHEET_FILE, 'Bench sheet'],
          [FIRST_ESTIMATE_FILE, 'Estimate sheet'],
        ]}
      />
    </>
  );
}

async function chosenFolder(): Promise<FileSystemDirectoryHandle | null> {
  try {
    return await window.showDirectoryPicker!({ mode: 'readwrite' });
  } catch (error) {
    // Nobody chose one.
    if (error instanceof DOMException && error.name === 'AbortError') return null;
    throw error;
  }
}

async function writeInto(
  folder: FileSystemDirectoryHandle,
  name: string,
  bytes: Uint8Array<ArrayBuffer>,
): Promise<void> {
  try {
    const handle = await folder.getFileHandle(name, { create: true });
    const writable = await handle.createWritable();
    await writable.write(bytes);
    await writable.close();
  } catch (error) {
    throw new SteptoneError({
      code: 'cannot-write',
      expected: 'a stick that takes the file',
      found: `a refusal by the browser (${error instanceof Error ? error.message : error})`,
      where: name,
      likelyCause: 'the stick was pulled out, is full, or is write-protected',
      nextStep: 'put it in again, and write the files once more',
    });
  }
}
