import { expect, it } from 'vitest';
import { z } from 'zod';
import { plainHelp } from '../../report-template/job/forms/plain-help.ts';
import { equipmentSchema } from '../../src/model/equipment.ts';

it('No help of a part names a field, a list or a truth value as the file writes them.', () => {
  const helps: string[] = [];
  const walk = (of: unknown): void => {
    if (typeof of !== 'object' || of === null) return;
    if ('description' in of && typeof of.description === 'string') helps.push(plainHelp(of.description));
    for (const inner of Object.values(of)) walk(inner);
  };
  walk(z.toJSONSchema(equipmentSchema, { io: 'input' }));
  expect(helps.length).toBeGreaterThan(60);
  for (const help of helps) expect(help).not.toMatch(/\b[a-z]{2,}[A-Z]|[[\]]|\b(true|false|qts|mm2|awg)\b/);
  expect(helps).toContain('Rated power of one channel (of the pair if bridged) into ‘Rated into’, watts.');
});
