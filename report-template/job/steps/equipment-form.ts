import { equipmentSchema } from '../../../src/model/equipment.ts';
import type { SessionInput } from '../../../src/model/session-input.ts';
import type { Form } from '../forms/schema-fields.tsx';
import { readWritten, valueAt, withField } from '../forms/written.ts';
import { sessionForm } from '../job-view.ts';
import type { Job } from '../keep/job.ts';

/** The parts, in a file of their own or in the session, where they stand there. */
export function equipmentForm(job: Job): Form {
  const session = sessionForm(job);
  if (valueAt(session.written.value, ['equipment']) != null) {
    const faults = [...session.written.faults].filter(([path]) => path.startsWith('equipment.'));
    return {
      written: {
        value: valueAt(session.written.value, ['equipment']) as Record<string, unknown>,
        notReadable: null,
        faults: new Map(faults.map(([path, fault]) => [path.slice('equipment.'.length), fault])),
      },
      set: (path, value) => session.set(['equipment', ...path], value),
    };
  }
  const name = equipmentFileOf(job);
  const text = job.texts.get(name) ?? '';
  return {
    written: readWritten(text, equipmentSchema),
    set(path, value) {
      const changed = withField(text, path, value);
      if (changed.trim() === '') {
        void job.drop([name]);
        session.set(['equipmentFile'], undefined);
        return;
      }
      job.write(name, changed);
      if (valueAt(session.written.value, ['equipmentFile']) === undefined)
        session.set(['equipmentFile'], name);
    },
  };
}

export function equipmentFileOf(job: Job): string {
  const { equipmentFile } = sessionForm(job).written.value as SessionInput;
  return job.equipmentFile(typeof equipmentFile === 'string' ? equipmentFile : undefined);
}
