import { expect, it } from 'vitest';
import { engineOf, otherSourceOf, recordingKindOf, settingInName } from '../../src/model/recording-kind.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';

it.each([
  ['loop-take.wav', 'loop'],
  ['shorted.wav', 'shorted'],
  ['Noise-idle.wav', 'noise'],
  ['seat-sub.wav', 'seat sub'],
  ['seat mains.WAV', 'seat mains'],
  ['car/seat_both.wav', 'seat both'],
  ['seat-both-inverted.wav', 'seat both inverted'],
  ['seaton-radio.wav', 'takes'],
  ['source-22.wav', 'other source'],
  ['Source phone 22.wav', 'other source'],
  ['sources-22.wav', 'takes'],
  ['subwoofer-20.wav', 'takes'],
  ['noisy-rear.wav', 'takes'],
])('A file named %s is taken for %s.', (file, kind) => {
  expect(recordingKindOf(file)).toBe(kind);
});

it('The engine is read from the name of a noise take, and is off where it says nothing.', () => {
  expect(['noise-idle.wav', 'noise fast 3000.wav', 'noise-off.wav', 'noise.wav'].map(engineOf)).toEqual([
    'idle',
    'fast',
    'off',
    'off',
  ]);
});

it('Noise and seat takes bring neither settings nor taps into the session.', () => {
  const { taps, settings, recordings } = resolveSession(
    {
      settings: [20],
      channels: ['front-left', 'front-right'],
      recordings: [
        'radio.wav',
        { file: 'whine.wav', kind: 'noise', engine: 'fast', rpm: 3000, setting: 0 },
        'noise-idle.wav',
        'seat-sub.wav',
        { file: 'seat-both.wav', channels: [null, 'measuring microphone'] },
      ],
    },
    { folderFiles: [] },
  );
  expect(taps.map(({ id }) => id)).toEqual(['front-left', 'front-right']);
  expect(settings).toEqual([20]);
  expect(recordings.map(({ kind }) => kind)).toEqual(['takes', 'noise', 'noise', 'seat sub', 'seat both']);
  expect(recordings[1]).toMatchObject({ engine: 'fast', rpm: 3000, settings: [0] });
  expect(recordings[2]).toMatchObject({ engine: 'idle', settings: [] });
  expect(recordings[3].channels).toEqual(['microphone']);
  expect(recordings[4].channels).toEqual([null, 'measuring microphone']);
  expect('engine' in recordings[0]).toBe(false);
});

it('A take of another source tells its source and its setting by its name.', () => {
  const files = ['source-22.wav', 'car/source-phone-22.5.wav', 'source wireless link.wav'];
  expect(files.map(otherSourceOf)).toEqual([undefined, 'phone', 'wireless link']);
  expect(files.map(settingInName)).toEqual([[22], [22.5], undefined]);
});

it('Takes of another source are found by name, by kind or by what played them; none of them is a take of the first.', () => {
  const { settings, recordings } = resolveSession(
    {
      source: 'disc',
      otherSource: 'phone',
      channels: ['front-left', 'front-right'],
      recordings: [
        { file: 'radio.wav', setting: 20, source: 'disc' },
        { file: 'air.wav', setting: 24, source: 'wireless link' },
        { file: 'more.wav', setting: 20, kind: 'other source' },
      ],
    },
    { folderFiles: ['source-22.wav', 'source-tape-20.wav'] },
  );
  expect(settings).toEqual([20]);
  expect(recordings.map(({ kind, source, settings: own }) => [kind, source, own])).toEqual([
    ['takes', undefined, [20]],
    ['other source', 'wireless link', [24]],
    ['other source', 'phone', [20]],
    ['other source', 'phone', [22]],
    ['other source', 'tape', [20]],
  ]);
  expect(recordings[3].channels).toEqual(['front-left', 'front-right']);
});
