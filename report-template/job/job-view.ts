import { createContext } from 'preact';
import { useContext, useEffect, useState } from 'preact/hooks';
import { sessionInputSchema } from '../../src/model/session-input.ts';
import type { Form } from './forms/schema-fields.tsx';
import { readWritten, type Written, withField } from './forms/written.ts';
import type { Job } from './keep/job.ts';

export const JobContext = createContext<Job | null>(null);

/** The job, drawn anew at each of its changes. */
export function useJob(): Job {
  const job = useContext(JobContext)!;
  const [, draw] = useState(0);
  useEffect(() => job.onChange(() => draw((count) => count + 1)), [job]);
  return job;
}

/** The session of a folder as it is written; empty where there is none yet. */
export function writtenSession(job: Job, inside = ''): Written {
  const name = job.sessionFile(inside);
  return readWritten(name === null ? '' : job.texts.get(name)!, sessionInputSchema);
}

/** Changes fields of the session, which is begun where there is none. */
export function sessionForm(job: Job, inside = ''): Form {
  return {
    written: writtenSession(job, inside),
    set(path, value) {
      const name = job.sessionFile(inside) ?? job.beginSession({}, inside);
      job.write(name, withField(job.texts.get(name)!, path, value));
    },
  };
}
