import { describe, expect, it } from 'vitest';
import { naturalOrder, settingsOfFiles } from '../../src/model/settings-of-files.ts';
import { thrown } from '../thrown.ts';

const where = 'session.yaml';

function match(files: string[], settings: number[]) {
  const result = settingsOfFiles({ files, settings, where });
  return {
    pairs: Object.fromEntries(result.files.map(({ file, settings }) => [file, settings])),
    doubt: result.doubt,
  };
}

describe('which setting a file was recorded at', () => {
  it('Natural order puts 2 before 10, whatever the capitals.', () => {
    expect(naturalOrder(['b10.wav', 'B2.wav', 'a.wav', 'b1.WAV'])).toEqual([
      'a.wav',
      'b1.WAV',
      'B2.wav',
      'b10.wav',
    ]);
  });

  it('Numbers in the names are the settings where they are all settings, whatever the order.', () => {
    expect(match(['vol10.wav', 'vol8.wav', 'vol12.wav'], [12, 10, 8])).toEqual({
      pairs: { 'vol10.wav': [10], 'vol8.wav': [8], 'vol12.wav': [12] },
      doubt: null,
    });
  });

  it('Of several numbers in a name the one that differs between the files counts.', () => {
    const { pairs } = match(['ch1-1.wav', 'ch1-2.wav', 'ch1-3.wav'], [1, 2, 3]);
    expect(pairs).toEqual({ 'ch1-1.wav': [1], 'ch1-2.wav': [2], 'ch1-3.wav': [3] });
  });

  it('Repeated takes of one setting are both taken.', () => {
    const { pairs } = match(['set10-take1.wav', 'set10-take2.wav', 'set20-take1.wav'], [10, 20]);
    expect(pairs).toEqual({ 'set10-take1.wav': [10], 'set10-take2.wav': [10], 'set20-take1.wav': [20] });
  });

  it('Names without settings are taken in natural order, and the doubt is stated.', () => {
    const { pairs, doubt } = match(['REC0009.WAV', 'REC0010.WAV', 'REC0011.WAV'], [10, 14, 18]);
    expect(pairs).toEqual({ 'REC0009.WAV': [10], 'REC0010.WAV': [14], 'REC0011.WAV': [18] });
    expect(doubt).toMatchObject({
      code: 'settings by the order of names',
      first: { file: 'REC0009.WAV', setting: 10 },
      last: { file: 'REC0011.WAV', setting: 18 },
    });
  });

  it('Fewer files than settings are fine where the names say which, and the rest is named.', () => {
    const { pairs, doubt } = match(['rear-10.wav', 'rear-38.wav'], [10, 24, 38]);
    expect(pairs).toEqual({ 'rear-10.wav': [10], 'rear-38.wav': [38] });
    expect(doubt).toEqual({ code: 'settings by the names of files', missing: [24] });
  });

  it('Files recorded later, between the planned settings, are taken by their numbers, and that is noted.', () => {
    const { pairs, doubt } = match(['a-10.wav', 'a-14.wav', 'a-12.wav', 'a-18.wav'], [10, 14, 18]);
    expect(pairs).toEqual({ 'a-10.wav': [10], 'a-12.wav': [12], 'a-14.wav': [14], 'a-18.wav': [18] });
    expect(doubt).toEqual({ code: 'more settings in the names of files', settings: [12] });
  });

  it.each([
    ['a counter of the recorder', ['REC0009.wav', 'REC0010.wav', 'REC0011.wav', 'REC0012.wav']],
    ['a number outside the range', ['a-10.wav', 'a-14.wav', 'a-18.wav', 'a-99.wav']],
    ['two numbers that vary', ['a1-10.wav', 'a2-14.wav', 'a3-18.wav', 'a4-12.wav']],
  ])('Numbers that may count something else are not: %s.', (_, files) => {
    expect(thrown(() => match(files, [10, 14, 18])).code).toBe('settings');
  });

  it('One file holds every setting, in the order given and with repeats.', () => {
    expect(match(['long.wav'], [38, 10, 10])).toEqual({ pairs: { 'long.wav': [38, 10, 10] }, doubt: null });
  });

  it('A radio with negative settings is met by the number alone.', () => {
    expect(match(['vol-40.wav', 'vol-20.wav'], [-40, -20]).pairs).toEqual({
      'vol-40.wav': [-40],
      'vol-20.wav': [-20],
    });
  });

  it('Files of two pairs are never taken for repeats of one.', () => {
    const error = thrown(() =>
      match(['front-10.wav', 'front-20.wav', 'rear-10.wav', 'rear-20.wav'], [10, 20]),
    );
    expect(error).toMatchObject({ code: 'settings', parts: { where } });
  });

  it('Two numbers in the names that disagree tell nothing.', () => {
    expect(match(['10-20.wav', '20-10.wav'], [10, 20]).doubt?.code).toBe('settings by the order of names');
  });

  it('Another count than that of the settings is refused with both counts.', () => {
    const { parts } = thrown(() => match(['a.wav', 'b.wav'], [10, 14, 18]));
    expect(parts.expected).toContain('3 settings');
    expect(parts.found).toContain('2 files');
  });
});
