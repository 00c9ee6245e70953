import { describe, expect, it } from 'vitest';
import { measureOtherSources } from '../../src/measure/other-sources.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import type { Recording, Session } from '../../src/model/session.ts';
import { responseTrack } from '../../src/tones/track.ts';
import { sessionOf } from '../findings/synthetic.ts';
import { playedTrack } from '../played-track.ts';
import { RATE, recordingOf, sound, TAPS } from './two-tap-files.ts';

const missing = (file: string) =>
  new SteptoneError({ code: 'file-missing', expected: 'x', found: 'y', where: file, nextStep: 'z' });
const from = (source: string, file: string, settings: number[]) =>
  recordingOf('other source', file, { source, settings, channels: ['a'] } as Partial<Recording>);
const RECORDINGS = [
  recordingOf('takes', 'radio.wav', { settings: [20] }),
  recordingOf('shorted', 'shorted.wav'),
  recordingOf('noise', 'noise.wav'),
  from('wireless', 'w30.wav', [30]),
  from('wireless', 'w22.wav', [22]),
  from('phone', 'p22.wav', [22]),
];
const session: Session = { ...sessionOf(TAPS), settings: [20], recordings: RECORDINGS };

describe('takes of other sources', () => {
  it('are measured source by source, beside what is known of the recorder, and nothing of the radio’s.', () => {
    const samples = playedTrack({
      track: responseTrack,
      sampleRateHz: RATE,
      leadSeconds: 0.3,
      left: 0.5,
      right: 0,
      noiseRms: 1e-6,
    });
    const opened: string[] = [];
    const { sources, notes } = measureOtherSources({
      session,
      open: (file) => {
        opened.push(file);
        if (file === 'p22.wav') throw missing(file);
        return file === 'shorted.wav'
          ? sound(samples.slice(0, RATE), samples.slice(0, RATE))
          : sound(samples);
      },
    });
    expect(sources.map(({ source }) => source)).toEqual(['wireless']);
    const [{ session: own, measured }] = sources;
    expect(own).toMatchObject({ source: 'wireless', settings: [22, 30] });
    expect(own.recordings.map(({ kind, file }) => [kind, file])).toEqual([
      ['shorted', 'shorted.wav'],
      ['takes', 'w30.wav'],
      ['takes', 'w22.wav'],
    ]);
    expect(measured.measurements.map(({ setting }) => setting).sort()).toEqual([22, 30]);
    expect(notes).toContainEqual({
      file: 'p22.wav',
      reason: { code: 'cannot be used', errorCode: 'file-missing', message: expect.any(String) },
      leftOut: true,
    });
    expect(opened).not.toContain('radio.wav');
    expect(opened).not.toContain('noise.wav');
    expect(opened).toContain('shorted.wav');
  });

  it('do not hide other mistakes.', () => {
    const open = () => {
      throw new TypeError('mistake');
    };
    expect(() => measureOtherSources({ session, open })).toThrow(TypeError);
    const none = { ...session, recordings: RECORDINGS.slice(0, 3) };
    expect(measureOtherSources({ session: none, open })).toEqual({ sources: [], notes: [] });
  });
});
