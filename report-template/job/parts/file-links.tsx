import { useEffect, useState } from 'preact/hooks';
import type { Job } from '../keep/job.ts';
import { saveFile, typed } from '../keep/save-file.ts';

/** Files of the job to open beside this page, and to save. */
export function FileLinks({
  job,
  files,
}: {
  readonly job: Job;
  readonly files: readonly (readonly [name: string, words: string])[];
}) {
  const present = files.filter(([name]) => job.files.has(name));
  return (
    <ul class="files">
      {present.map(([name, words]) => (
        <FileLink key={name} name={name} words={words} blob={job.files.get(name)!} />
      ))}
    </ul>
  );
}

function FileLink({
  name,
  words,
  blob,
}: {
  readonly name: string;
  readonly words: string;
  readonly blob: Blob;
}) {
  const [address, setAddress] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(typed(name, blob));
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [name, blob]);
  const shown = /\.(html|wav)$/i.test(name);
  return (
    <li>
      {shown ? (
        <a href={address} target="_blank" rel="noreferrer">
          {words}
        </a>
      ) : (
        words
      )}{' '}
      <button type="button" onClick={() => saveFile(name.replace(/^.*\//, ''), blob)}>
        Save<span class="unseen"> {words}</span>
      </button>
    </li>
  );
}
