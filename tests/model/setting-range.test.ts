import { describe, expect, it } from 'vitest';
import { parseSettings, settingsInOrder } from '../../src/model/setting-range.ts';
import { thrown } from '../thrown.ts';

const where = '--settings';

describe('volume settings as people write them', () => {
  it.each([
    ['10-38/4', [10, 14, 18, 22, 26, 30, 34, 38]],
    ['10-13', [10, 11, 12, 13]],
    ['10,14,18', [10, 14, 18]],
    ['10, 14 , 18,', [10, 14, 18]],
    ['38-10/14', [38, 24, 10]],
    ['10-14/4, 16-17, 16', [10, 14, 16, 17, 16]],
    ['5', [5]],
    ['0.5-2/0.5', [0.5, 1, 1.5, 2]],
    ['0-0.3/0.1', [0, 0.1, 0.2, 0.3]],
    ['-40--10/10', [-40, -30, -20, -10]],
    ['10–12', [10, 11, 12]],
    ['7-7', [7]],
  ])('%s is %j', (text, settings) => {
    expect(parseSettings({ text, where })).toEqual(settings);
  });

  it.each([
    '',
    ' , ',
    'ten',
    '10-',
    '10-38/',
    '10-38/0',
    '10-38/-4',
    '1e3',
    '0-100000',
    '10/4',
    '10 14',
    '1,2,x',
    '0-1/0.0000001',
  ])("'%s' is refused, with the place it was written", (text) => {
    const error = thrown(() => parseSettings({ text, where }));
    expect(error).toMatchObject({ code: 'settings', parts: { where } });
  });

  it('A range that does not meet its end is answered with the two that could have been meant.', () => {
    const { parts } = thrown(() => parseSettings({ text: '10-40/4', where }));
    expect(parts.found).toContain('38');
    expect(parts.nextStep).toContain('10-38/4,40');
  });

  it('A field of the session may be a number, a text or a list of both.', () => {
    expect(settingsInOrder({ given: 12, where })).toEqual([12]);
    expect(settingsInOrder({ given: [38, '10-14/2'], where })).toEqual([38, 10, 12, 14]);
  });
});
