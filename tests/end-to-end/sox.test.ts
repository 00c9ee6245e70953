import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { analyse } from '../../src/analyse.ts';
import { openWav } from '../../src/audio/read-wav.ts';
import { encodeWav } from '../../src/audio/write-wav.ts';
import { BASS_FREQUENCIES_HZ, findingsOf } from '../../src/model/finding.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import { renderTrack } from '../../src/tones/render-track.ts';
import { fullTrack } from '../../src/tones/track.ts';
import { sourceOf } from '../audio/wav-bytes.ts';
import { describeWith, runOutside } from '../outside-programs.ts';
import { expectNear, expectWithinPercent } from './expect-near.ts';

/** What sox is told to do to the door tap at each setting. */
const SETTINGS = [
  { setting: 10, volume: 0.05, bassDb: 0 },
  { setting: 14, volume: 0.08, bassDb: 0 },
  { setting: 18, volume: 0.13, bassDb: 0 },
  { setting: 22, volume: 0.2, bassDb: -3 },
  { setting: 26, volume: 0.32, bassDb: -7 },
] as const;
const SHELF_HZ = 90;
const CROSSOVER_HZ = 2500;

describeWith(['sox'], 'the main job through an independent program', () => {
  const folder = mkdtempSync(join(tmpdir(), 'steptone-sox-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const path = (name: string) => join(folder, name);

  /** Gain in decibels of the low shelf that sox itself prints the coefficients of. */
  function shelfDb(gainDb: number, frequencyHz: number): number {
    if (gainDb === 0) return 0;
    const effect = ['bass', `${gainDb}`, `${SHELF_HZ}`, '0.7071q'];
    // sox ends with status 2 after it has printed a plot.
    const plot = spawnSync('sox', ['--plot', 'octave', '-r', '48000', '-n', '-n', ...effect], {
      encoding: 'utf8',
    }).stdout;
    const [numerator, denominator] = [...plot.matchAll(/\[([-\d.e+ ]+)\]/g)].map(([, list]) =>
      list.split(' ').map(Number),
    );
    const magnitude = (values: number[]) => {
      const w = (2 * Math.PI * frequencyHz) / 48_000;
      const part = (wave: (x: number) => number) =>
        values.reduce((sum, value, k) => sum + value * wave(k * w), 0);
      return Math.hypot(part(Math.cos), part(Math.sin));
    };
    return 20 * Math.log10(magnitude(numerator) / magnitude(denominator));
  }

  test('a crossover and a shelf that sox made are found as sox was told', () => {
    const { left, right } = renderTrack(fullTrack, 48_000);
    writeFileSync(
      path('track.wav'),
      encodeWav({ sampleRateHz: 48_000, channels: [left, right], bitDepth: '16' }),
    );
    const corner = `${CROSSOVER_HZ}`;
    for (const { setting, volume, bassDb } of SETTINGS) {
      const leftOnly = ['remix', '1', 'vol', `${volume}`];
      const out = ['-b', '24'];
      // Twice a second-order Butterworth filter is Linkwitz-Riley of 24 dB/octave.
      runOutside('sox', [
        '-D',
        path('track.wav'),
        ...out,
        path('dash.wav'),
        ...leftOnly,
        'highpass',
        '-2',
        corner,
        'highpass',
        '-2',
        corner,
      ]);
      const shelf = bassDb === 0 ? [] : ['bass', `${bassDb}`, `${SHELF_HZ}`, '0.7071q'];
      runOutside('sox', [
        '-D',
        path('track.wav'),
        ...out,
        path('door.wav'),
        ...leftOnly,
        'lowpass',
        '-2',
        corner,
        'lowpass',
        '-2',
        corner,
        ...shelf,
      ]);
      runOutside('sox', ['-M', path('dash.wav'), path('door.wav'), path(`setting-${setting}.wav`)]);
    }
    const files = SETTINGS.map(({ setting }) => `setting-${setting}.wav`);
    const session = resolveSession(
      {
        settings: SETTINGS.map(({ setting }) => setting),
        taps: [
          { id: 'dash', side: 'left', position: 'dash' },
          { id: 'door', side: 'left', position: 'door' },
        ],
        channels: ['dash', 'door'],
        calibration: { kind: 'none' },
      },
      { folderFiles: files },
    );
    const open = (file: string) => openWav(sourceOf(readFileSync(path(file)), file));
    const { findings } = analyse({ session, open, toolVersion: 'test', inputs: [] });

    const [crossover, ...more] = findingsOf(findings, 'crossover');
    expect(more).toEqual([]);
    expect([crossover.lowTapId, crossover.highTapId]).toEqual(['door', 'dash']);
    expectWithinPercent(crossover.frequencyHz, CROSSOVER_HZ, 2);
    for (const band of findingsOf(findings, 'band')) {
      const edge = band.tapIds[0] === 'dash' ? band.lowEdge! : band.highEdge!;
      expectWithinPercent(edge.minus6Hz, CROSSOVER_HZ, 2);
      expect(edge.slopeDbPerOctave).toBe(24);
      expect(edge.filter).toMatchObject({ family: 'linkwitz-riley', order: 4 });
    }

    const door = findingsOf(findings, 'bass-change').find(({ tapIds }) => tapIds[0] === 'door')!;
    expect(door.verdict).toBe('falls with volume');
    expect(door.onset).toMatchObject({ lastIntact: 18, firstChanged: 22 });
    for (const { setting, bassDb } of SETTINGS) {
      const { changeDb } = door.changes.find((one) => one.setting === setting)!;
      // The finding is against the tap's own 300 Hz to 3 kHz, where this shelf has 0.02 dB left.
      BASS_FREQUENCIES_HZ.forEach((hz, i) => {
        expectNear(changeDb[i], shelfDb(bassDb, hz), 0.1);
      });
    }
    const dash = findingsOf(findings, 'bass-change').find(({ tapIds }) => tapIds[0] === 'dash');
    expect(dash?.verdict ?? 'cannot be told').not.toBe('falls with volume');
    expect(findingsOf(findings, 'clipping').every(({ place }) => place === 'none seen')).toBe(true);
  });
});
