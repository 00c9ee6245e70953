import { checkDocument } from '../model/checked-document.ts';
import { type Equipment, equipmentSchema } from '../model/equipment.ts';
import type { JobFolder } from './job-folder.ts';
import { readText } from './read-text.ts';

/**
 * Equipment in a file of its own.
 *
 * @throws SteptoneError `file-missing`; `session-syntax` and `session-field` as for the same lines in a session file
 */
export function readEquipment(folder: JobFolder, file: string): Equipment {
  return readEquipmentText({ fileName: folder.place(file), text: readText(folder, file) });
}

/** The same from its text. */
export function readEquipmentText(file: { fileName: string; text: string }): Equipment {
  return checkDocument(file, {
    schema: equipmentSchema,
    syntaxCode: 'session-syntax',
    fieldCode: () => 'session-field',
    expected: 'equipment in YAML or JSON, such as amplifiers: [{ feeds: [subwoofer], ratedWatts: 500 }]',
    nextStep: 'write what would stand under equipment in a session file',
  }).value;
}
