import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { fullTrack } from '../../src/tones/track.ts';
import { expectNear } from '../end-to-end/expect-near.ts';
import { describeWith, runOutside } from '../outside-programs.ts';
import { analysedFolder, outsideFolder, writeTrack } from './analysed-folder.ts';

describeWith(['scipy'], 'recordings of a radio written in scipy', () => {
  const folder = outsideFolder();

  test('the bass that its climbing high-pass takes, and the late and inverted tap, are what scipy works out', () => {
    writeTrack(folder.path('track.wav'), fullTrack);
    const script = readFileSync(join(import.meta.dirname, 'radio.py'), 'utf8');
    const printed = runOutside('scipy', [script, folder.path('track.wav'), folder.path('setting-%s.wav')]);
    const truth: { changesDb: Record<string, number[]>; delaySeconds: number } = JSON.parse(printed);
    const { findings } = analysedFolder(folder, {
      settings: [10, 14, 18, 22, 26],
      taps: [
        { id: 'front-left', side: 'left', position: 'front' },
        { id: 'front-right', side: 'right', position: 'front' },
      ],
      channels: ['front-left', 'front-right'],
      calibration: { kind: 'none' },
      referenceTapId: 'front-left',
    });

    const found = findingsOf(findings, 'bass-change');
    expect(found.map(({ verdict }) => verdict)).toEqual(['falls with volume', 'falls with volume']);
    for (const { changes, onset, shape } of found) {
      expect(onset).toMatchObject({ lastIntact: 18, firstChanged: 22 });
      expect(shape?.model).toBe('high-pass');
      for (const { setting, changeDb } of changes)
        changeDb.forEach((change, i) => {
          expectNear(change, truth.changesDb[setting][i], 0.1);
        });
    }
    const [timing] = findingsOf(findings, 'timing');
    expect(timing.polarity).toBe('inverted');
    expectNear(timing.delaySeconds, truth.delaySeconds, 3e-6);
    expect(findingsOf(findings, 'crossover')).toEqual([]);
    expect(findingsOf(findings, 'clipping').every(({ place }) => place === 'none seen')).toBe(true);
  });
});
