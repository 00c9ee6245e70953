import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { fromRecord } from '../../src/model/measurement-record.ts';
import { fullTrack, responseTrack } from '../../src/tones/track.ts';
import { measuredValue } from '../end-to-end/expect-near.ts';
import { describeWith, runOutside } from '../outside-programs.ts';
import { analysedFolder, outsideFolder, writeTrack } from './analysed-folder.ts';

/**
 * The circuits are solved by ngspice alone: the crossover's response by its .ac analysis, the stage's transfer curve by
 * .dc and its distortion by .tran and .four. The tracks are then filtered, or bent, by scipy with what ngspice wrote: a
 * transient analysis of 20 s of track takes ngspice half a minute and shows the same network.
 */
describeWith(['ngspice', 'scipy'], 'recordings through circuits that ngspice solved', () => {
  const folder = outsideFolder();

  function solve(circuit: string, words: Readonly<Record<string, string>>): string {
    const text = readFileSync(join(import.meta.dirname, `${circuit}.cir`), 'utf8');
    const filled = Object.entries(words).reduce((all, [word, value]) => all.replaceAll(word, value), text);
    writeFileSync(folder.path(`${circuit}.cir`), filled);
    return runOutside('ngspice', ['-b', folder.path(`${circuit}.cir`)]);
  }

  function python(script: string, args: readonly string[]): void {
    runOutside('scipy', [readFileSync(join(import.meta.dirname, script), 'utf8'), ...args]);
  }

  test('a passive crossover into the impedances of woofer and tweeter: response, band limits and polarity are the circuit’s', () => {
    const gain = 0.3;
    solve('passive-crossover', { OUT: folder.path('ac.txt') });
    writeTrack(folder.path('track.wav'), responseTrack);
    python('filter-track.py', [
      folder.path('track.wav'),
      folder.path('ac.txt'),
      folder.path('setting-20.wav'),
      `${gain}`,
    ]);
    const { findings, measurements } = analysedFolder(folder, {
      settings: [20],
      taps: [
        { id: 'woofer', side: 'left', position: 'door' },
        { id: 'tweeter', side: 'left', position: 'dash' },
      ],
      channels: ['woofer', 'tweeter'],
      calibration: { kind: 'none' },
    });

    const circuit = readFileSync(folder.path('ac.txt'), 'utf8')
      .split('\n')
      .slice(1)
      .filter(Boolean)
      .map((line) => line.trim().split(/\s+/).map(Number));
    const levelDb = (tap: number, hz: number) => {
      const row = Math.min(circuit.length - 2, Math.floor(hz) - 1);
      const at = (n: number) => 20 * Math.log10(Math.hypot(circuit[n][3 * tap + 1], circuit[n][3 * tap + 2]));
      return at(row) + (hz - row - 1) * (at(row + 1) - at(row));
    };
    let compared = 0;
    measurements.map(fromRecord).forEach(({ left }, tap) => {
      gridFrequencyHz.forEach((hz, i) => {
        const expected = levelDb(tap, hz) + 20 * Math.log10(gain);
        if (left.trustedHz === null || hz < 20 || hz < left.trustedHz[0] || hz > left.trustedHz[1]) return;
        if (expected < -45) return;
        compared++;
        expect(Math.abs(20 * Math.log10(Math.hypot(left.real[i], left.imag[i])) - expected)).toBeLessThan(
          0.1,
        );
      });
    });
    expect(compared).toBeGreaterThan(500);

    const [woofer, tweeter] = ['woofer', 'tweeter'].map(
      (id) => findingsOf(findings, 'band').find(({ tapIds }) => tapIds[0] === id)!,
    );
    expect([woofer.lowEdge, tweeter.highEdge]).toEqual([null, null]);
    [woofer.highEdge!, tweeter.lowEdge!].forEach((edge, tap) => {
      // The woofer's impedance rises like no EQ of a radio: the points may be withheld, but never be wrong.
      if (!isNotMeasurable(edge.minus3Hz) && !isNotMeasurable(edge.minus6Hz)) {
        const [at3, at6] = [edge.minus3Hz, edge.minus6Hz].map(({ value }) => levelDb(tap, value));
        expect(Math.abs(at3 - at6 - 3.0103)).toBeLessThan(0.15);
      }
      // Two reactive parts each, and impedances that are no resistors: 12 dB, or no round figure at all.
      if (!isNotMeasurable(edge.filter)) expect(edge.slopeDbPerOctave).toBe(12);
    });
    const [timing] = findingsOf(findings, 'timing');
    expect(timing.polarity).not.toBe('inverted');
  });

  test('a rail-limited bridge stage begins to clip where ngspice’s own Fourier analysis has 1 %', () => {
    const printed = solve('bridge-stage', {
      OUT: folder.path('dc.txt'),
      AMPLITUDES: '11.5 12 12.3 12.4 12.5 12.6 12.65 12.7 12.8 13',
    });
    // Where rounding leaves the last period a hair short, ngspice prints no figure for an amplitude.
    const points = [
      ...printed.matchAll(/amplitude ([\d.]+)(?:(?!amplitude)[\s\S])*?THD: ([\d.e+-]+) %/g),
    ].map(([, volts, thd]) => ({
      volts: Number(volts),
      thdPercent: Number(thd),
    }));
    const above = points.findIndex(({ thdPercent }) => thdPercent > 1);
    expect(above).toBeGreaterThan(0);
    const [clean, clipped] = [points[above - 1], points[above]];
    const part = (1 - clean.thdPercent) / (clipped.thdPercent - clean.thdPercent);
    const onsetVoltsPeak = clean.volts + part * (clipped.volts - clean.volts);

    const fullScaleVoltsPeak = 20;
    const inputVolts = { 20: 8, 26: 16, 30: 19.5 };
    writeTrack(folder.path('full.wav'), fullTrack);
    python('bend-track.py', [
      folder.path('full.wav'),
      folder.path('dc.txt'),
      `${fullScaleVoltsPeak}`,
      folder.path('setting-%s.wav'),
      ...Object.entries(inputVolts).map(([setting, volts]) => `${setting}=${volts}`),
    ]);
    const { findings } = analysedFolder(folder, {
      settings: [20, 26, 30],
      taps: [{ id: 'front', side: 'left', position: 'front' }],
      channels: ['front'],
      calibration: { kind: 'pad', padRatio: 10, fullScaleVoltsRms: fullScaleVoltsPeak / 10 / Math.SQRT2 },
      supply: { volts: 14.4, engineRunning: true },
    });
    const bass = findingsOf(findings, 'clipping').find(({ toneHz }) => toneHz === 55)!;
    expect(bass.place).toBe('after the volume control');
    for (const { setting, driveDbFs } of bass.perSetting) {
      const volts = inputVolts[setting as keyof typeof inputVolts];
      const expected = 20 * Math.log10(onsetVoltsPeak / volts);
      if (expected > 0) expect(isNotMeasurable(driveDbFs)).toBe(true);
      else expect(Math.abs(measuredValue(driveDbFs) - expected)).toBeLessThan(0.1);
    }
    const [rail] = findingsOf(findings, 'rail');
    expect(rail.verdict).toBe('as the supply allows');
  });
});
