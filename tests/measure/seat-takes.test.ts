import { describe, expect, it } from 'vitest';
import { measureRecorder } from '../../src/measure/recorder/measure-recorder.ts';
import { measureSeatTakes } from '../../src/measure/seat-takes.ts';
import type { Recording, Session } from '../../src/model/session.ts';
import { responseTrack } from '../../src/tones/track.ts';
import { sessionOf } from '../findings/synthetic.ts';
import { playedTrack } from '../played-track.ts';
import { LEVEL_DB_FS, noise, RATE, RMS, recordingOf, sound, TAPS } from './two-tap-files.ts';

const session = (recordings: readonly Recording[]): Session => ({ ...sessionOf(TAPS), recordings });

describe('takes at the seat', () => {
  const play = (left: number, right: number, noiseRms = 1e-6) =>
    playedTrack({ track: responseTrack, sampleRateHz: RATE, leadSeconds: 0.3, left, right, noiseRms });
  const FILES: Record<string, Float32Array> = {
    sub: play(0.1, 0.1),
    mains: play(0.2, 0),
    both: play(0.15, 0.25),
    inverted: play(0.05, 0.05),
    silent: new Float32Array(RATE),
  };
  const take = (kind: Recording['kind'], file: string, channels: (string | null)[] = ['a']) =>
    recordingOf(kind, file, { channels });
  const needed = [take('seat sub', 'sub'), take('seat mains', 'mains'), take('seat both', 'both')];
  const seatOf = (recordings: readonly Recording[]) =>
    measureSeatTakes({ session: session(recordings), open: (file) => sound(FILES[file]) });

  it('are levels of both sides together, 30 to 250 Hz, every second point of the grid.', () => {
    const { seat, notes } = seatOf([...needed, take('seat both inverted', 'inverted')]);
    expect(notes).toEqual([]);
    const { frequencyHz, subwooferDb, mainsDb, bothDb, bothSubwooferInvertedDb } = seat!;
    expect([frequencyHz[0] >= 30, frequencyHz.at(-1)! <= 250]).toEqual([true, true]);
    expect(Math.log2(frequencyHz.at(-1)! / frequencyHz[0])).toBeGreaterThan(2.95);
    // 160 points a decade, every other of them.
    expect(frequencyHz[1] / frequencyHz[0]).toBeCloseTo(10 ** (2 / 160), 9);
    for (const db of subwooferDb) expect(db).toBeCloseTo(20 * Math.log10(0.2), 1);
    for (const db of mainsDb) expect(db).toBeCloseTo(20 * Math.log10(0.2), 1);
    for (const db of bothDb) expect(db).toBeCloseTo(20 * Math.log10(0.4), 1);
    for (const db of bothSubwooferInvertedDb!) expect(db).toBeCloseTo(20 * Math.log10(0.1), 1);
    expect(seatOf(needed).seat).not.toHaveProperty('bothSubwooferInvertedDb');
  });

  it('say which are missing, doubled or silent.', () => {
    expect(seatOf(needed.slice(0, 2))).toMatchObject({
      seat: null,
      notes: [{ file: 'sub', reason: { code: 'seat takes missing', kinds: ['seat both'] }, leftOut: false }],
    });
    const again = seatOf([...needed, take('seat sub', 'mains')]);
    expect(again.seat!.subwooferDb[5]).toBeCloseTo(20 * Math.log10(0.2), 1);
    expect(again.notes).toEqual([
      { file: 'mains', reason: { code: 'another such take is used', kind: 'seat sub' }, leftOut: true },
    ]);
    expect(seatOf([...needed, take('seat both inverted', 'silent')])).toMatchObject({
      notes: [{ file: 'silent', reason: { code: 'no whole track' }, leftOut: true }],
    });
    expect(seatOf([])).toEqual({ seat: null, notes: [] });
  });

  it('shape the recorder where they are loop takes: each channel’s own, and a shorted one its floor.', () => {
    const open = (file: string) =>
      file === 'loop' ? sound(FILES.mains, FILES.both) : sound(noise(1, 2), noise(2, 2, 2 * RMS));
    const of = (recordings: readonly Recording[]) => measureRecorder({ session: session(recordings), open });
    const known = of([recordingOf('loop', 'loop'), recordingOf('shorted', 'shorted')]);
    expect([...known.response.keys()]).toEqual([0, 1]);
    expect(Math.abs(known.floorDbFs.get(0)! - LEVEL_DB_FS)).toBeLessThan(0.2);
    expect(Math.abs(known.floorDbFs.get(1)! - LEVEL_DB_FS - 6.02)).toBeLessThan(0.2);
    expect(known.toneLevel).toBeNull();
    expect(of([]).response.size).toBe(0);
  });
});
