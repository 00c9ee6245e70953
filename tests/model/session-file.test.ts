import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/dsp/random.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import { parseSessionFile } from '../../src/model/session-file.ts';
import { thrown } from '../thrown.ts';

const parse = (text: string) => parseSessionFile({ fileName: 's.yaml', text });

const WHOLE = `
name: Invented sedan
settings: 10-38/4
taps:
  - id: front-left
    side: left
    load: resistor
  - front-right
channels: [front-left, front-right]
recordings:
  - file: long.wav
    supplyVolts: 13.8
calibration:
  kind: pad
  padRatio: 11
  fullScaleVoltsRms: 1.23
controls: { bass: 2 }
notes: [Grey plug behind the radio]
`;

describe('a session file', () => {
  it('YAML and JSON say the same.', () => {
    const { input } = parse(WHOLE);
    expect(parse(JSON.stringify(input, null, '\t')).input).toEqual(input);
    expect(input.calibration).toEqual({ kind: 'pad', padRatio: 11, fullScaleVoltsRms: 1.23 });
  });

  it.each([
    [
      'negative volts',
      'settings: 10\ncalibration:\n  kind: pad\n  padRatio: 11\n  fullScaleVoltsRms: -1.2',
      'calibration',
      'line 5, column 3, calibration.fullScaleVoltsRms',
      '-1.2',
    ],
    [
      'a pad below 1',
      'calibration: {kind: pad, padRatio: 0.1, fullScaleVoltsRms: 1}',
      'calibration',
      'calibration.padRatio',
      '0.1',
    ],
    ['an unknown field', 'name: x\nsetings: 10', 'session-field', 'line 2, column 1, setings', 'setings'],
    [
      'an unknown field of a tap',
      'taps:\n  - id: a\n    sid: left',
      'session-field',
      'line 3, column 5, taps[0].sid',
      'sid',
    ],
    [
      'a wrong word',
      'taps:\n  - id: a\n    side: lft',
      'session-field',
      'line 3, column 5, taps[0].side',
      'lft',
    ],
    ['an empty list', 'settings: 10\ntaps: []', 'session-field', 'line 2, column 1, taps', 'empty list'],
    ['a wrong kind', 'channels: [a, 3]', 'session-field', 'line 1, column 15, channels[1]', '3'],
    ['text for a number', 'supply: {volts: "13"}', 'session-field', 'supply.volts', "'13'"],
    ['no number at all', 'supply: {volts: .nan}', 'session-field', 'supply.volts', 'NaN'],
    [
      'a missing field',
      'recordings:\n  - setting: 10',
      'session-field',
      'line 2, column 5, recordings[0].file',
      'nothing',
    ],
    [
      'a calibration of no known kind',
      'calibration: {padRatio: 3}',
      'calibration',
      'calibration.kind',
      'nothing',
    ],
    [
      'a field given twice',
      'settings: 1\nsettings: 2',
      'session-syntax',
      'line 2, column 1',
      'a second time',
    ],
    ['two fields in one line', 'a: b: c', 'session-syntax', 'line 1, column 4', 'nested'],
    ['an alias to nothing', 'name: *other', 'session-syntax', 's.yaml', 'alias'],
    ['an empty file', '', 'session-syntax', 's.yaml', 'empty'],
    ['only words', 'hello', 'session-syntax', 's.yaml', 'hello'],
    ['a list', '[1, 2]', 'session-syntax', 's.yaml', 'a list'],
  ])('%s is refused, naming file, line, field and what was found', (_, text, code, where, found) => {
    const error = thrown(() => parse(text));
    expect(error.code).toBe(code);
    expect(error.parts.where).toContain('s.yaml');
    expect(error.parts.where).toContain(where);
    expect(error.parts.found).toContain(found);
    expect(error.message).not.toContain('\n');
  });

  it.each([
    ['setings: 10', 'settings'],
    ['taps: [{id: a, side: lft}]', 'left'],
    ['calibration: non', 'none'],
    ['recordings: [{file: a, chanels: [a]}]', 'channels'],
    ['calibration: {kind: tone, file: a.wav, volts: 3, voltsRms: 3}', 'voltsRms'],
    ['taps: [{id: a, conection: pair}]', 'connection'],
  ])('%s is met with the right word, %s', (text, word) => {
    expect(thrown(() => parse(text)).parts.nextStep).toContain(`'${word}'`);
  });

  it('Aliases that unfold without end are refused, not unfolded.', () => {
    const levels = Array.from(
      { length: 30 },
      (_, i) => `l${i + 1}: &l${i + 1} [${Array(9).fill(`*l${i}`).join(', ')}]`,
    );
    const error = thrown(() => parse(['l0: &l0 [x]', ...levels].join('\n')));
    expect(error.code).toBe('session-syntax');
  });

  it('A file with any byte changed is read or refused with an error for users, never a fault (400 slips, fixed seed).', () => {
    const random = seededRandom(20).uniform;
    const slips = Array.from({ length: 400 }, () => {
      const at = Math.floor(random() * WHOLE.length);
      const cut = Math.floor(random() * 4);
      const letter = String.fromCharCode(32 + Math.floor(random() * 95));
      return WHOLE.slice(0, at) + letter + WHOLE.slice(at + cut);
    });
    const outcomes = slips.map((text) => {
      try {
        parse(text);
        return 'read';
      } catch (error) {
        return error instanceof SteptoneError ? 'refused' : `fault: ${error}`;
      }
    });
    expect(new Set(outcomes)).toEqual(new Set(['read', 'refused']));
  });
});
