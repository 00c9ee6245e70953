import { checkDocument } from '../src/model/checked-document.ts';
import { type Equipment, equipmentSchema } from '../src/model/equipment.ts';
import { readText } from './read-text.ts';

/**
 * Equipment in a file of its own.
 *
 * @throws SteptoneError `file-missing`; `session-syntax` and `session-field` as for the same lines in a session file
 */
export function readEquipment(fileName: string): Equipment {
  return readEquipmentText({ fileName, text: readText(fileName) });
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
