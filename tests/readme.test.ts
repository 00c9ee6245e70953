import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkDocument } from '../src/model/checked-document.ts';
import { equipmentSchema } from '../src/model/equipment.ts';
import { resolveSession } from '../src/model/resolve-session.ts';
import { parseSessionFile } from '../src/model/session-file.ts';

const readme = readFileSync(new URL('../README.md', import.meta.url), 'utf8');
const [session, equipment, ...others] = [...readme.matchAll(/```yaml\n(.*?)```/gs)].map(([, text]) => text);

describe('the examples of the README', () => {
  it('The session is accepted as it stands.', () => {
    const { input } = parseSessionFile({ fileName: 'README.md', text: session });
    const { taps, notes } = resolveSession(input, { folderFiles: ['10.wav', '14.wav'] });
    expect(taps[0]).toMatchObject({ id: 'front-left', plus: { colour: 'white', pin: '3' } });
    expect(JSON.stringify(notes)).toContain('18'); // of the settings planned, two are recorded here
    expect(others).toEqual([]);
  });

  it('The equipment is accepted as it stands.', () => {
    const { value } = checkDocument(
      { fileName: 'README.md', text: equipment },
      {
        schema: equipmentSchema,
        syntaxCode: 'session-syntax',
        fieldCode: () => 'session-field',
        expected: 'equipment',
        nextStep: 'put it right',
      },
    );
    expect(value.amplifiers.map(({ ratedWatts }) => ratedWatts)).toEqual([75, 500]);
  });
});
