import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { codeOf, isSameReason, type Reason, reasonCodes, reasonSchema } from '../../src/model/reason.ts';
import { reasonText } from '../../src/words/reason-text.ts';

const everySetting: Reason = { code: 'no setting is clean', settings: [10, 20] };

describe('reasons as data', () => {
  it('A reason survives being written and read.', () => {
    expect(reasonSchema.parse(JSON.parse(JSON.stringify(everySetting)))).toEqual(everySetting);
  });

  it('A sentence of an older results file is read and said as it stands.', () => {
    const old = reasonSchema.parse('every recorded setting clips');
    expect(codeOf(old)).toBe('as written');
    expect(reasonText(old)).toBe('every recorded setting clips');
  });

  it('An unknown code, and a code without its figures, are refused.', () => {
    expect(() => reasonSchema.parse({ code: 'never heard of' })).toThrow();
    expect(() => reasonSchema.parse({ code: 'no setting is clean' })).toThrow();
  });

  it('Reasons are compared by code and figures.', () => {
    expect(isSameReason(everySetting, { code: 'no setting is clean', settings: [10, 20] })).toBe(true);
    expect(isSameReason(everySetting, { code: 'no setting is clean', settings: [10] })).toBe(false);
  });

  it('No code stands in two subjects: the later would hide the earlier.', async () => {
    const folder = join(import.meta.dirname, '../../src/model/reason');
    const subjects = await Promise.all(readdirSync(folder).map((name) => import(join(folder, name))));
    const each = subjects.flatMap((subject) =>
      Object.values(subject).flatMap((codes) => Object.keys(codes as object)),
    );
    expect([...each, 'as written'].sort()).toEqual([...reasonCodes].sort());
  });
});
