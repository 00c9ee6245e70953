import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import type { Results } from '../../src/model/results.ts';
import { fullTrack, responseTrack } from '../../src/tones/track.ts';
import { describeWith } from '../outside-programs.ts';
import { analysedThrough, CODECS, LOSSY_SETTINGS } from './lossy-session.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'steptone-lossy-session-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const CASES = [fullTrack, responseTrack].flatMap((track) => CODECS.map((codec) => ({ track, codec })));

describeWith(['ffmpeg'], 'a flat, clean radio fed from a lossy source', () => {
  describe.each(CASES)('$codec.name, $track.name track', ({ track, codec }) => {
    let results: Results;
    beforeAll(() => {
      results = analysedThrough(codec, { track, folder });
    });

    it('shows no crossover, no band limit, no EQ and no bass that falls, is lifted or is held', () => {
      for (const kind of ['crossover', 'loudness-contour', 'bass-limiter'] as const)
        expect(findingsOf(results.findings, kind)).toEqual([]);
      for (const { verdict, fixedEq } of findingsOf(results.findings, 'band')) {
        expect(verdict).not.toBe('band-limited');
        expect(fixedEq).toEqual([]);
      }
      const changes = findingsOf(results.findings, 'bass-change');
      expect(changes).toHaveLength(2);
      for (const { verdict, changes: rows } of changes) {
        expect(verdict).toBe('steady');
        for (const value of rows.flatMap(({ changeDb }) => changeDb))
          if (!isNotMeasurable(value)) expect(Math.abs(value.value)).toBeLessThan(0.05);
      }
    });

    it('has its own ceiling named as the player’s or the file’s, where it has one', () => {
      const ceilings = findingsOf(results.findings, 'common-ceiling').map(({ ceilingHz }) => ceilingHz);
      if (codec.ceilingHz === null) {
        expect(ceilings).toEqual([]);
        return;
      }
      expect(ceilings).toHaveLength(1);
      expect(ceilings[0]).toBeGreaterThan(codec.ceilingHz[0]);
      expect(ceilings[0]).toBeLessThan(codec.ceilingHz[1]);
    });

    it('lets the check say nothing against the takes', () => {
      expect(
        results.checks!.takes.flatMap(({ remarks }) => remarks.filter(({ weight }) => weight !== 'note')),
      ).toEqual([]);
    });

    if (track === fullTrack)
      it('shows no clipping, no lines in its noise and no muting', () => {
        const clipping = findingsOf(results.findings, 'clipping');
        expect(clipping).toHaveLength(6);
        for (const { place, perSetting } of clipping) {
          expect(place).toBe('none seen');
          expect(perSetting.map(({ setting }) => setting)).toEqual(LOSSY_SETTINGS);
          for (const { driveDbFs } of perSetting) expect(isNotMeasurable(driveDbFs)).toBe(true);
        }
        const clean = findingsOf(results.findings, 'clean-settings');
        expect(clean.map(({ firstClippingRecorded }) => firstClippingRecorded)).toEqual([null, null]);
        for (const { lines, mainsHz, mutesInSilence } of findingsOf(results.findings, 'noise'))
          expect([lines, mainsHz, mutesInSilence]).toEqual([[], null, false]);
        expect(findingsOf(results.findings, 'rail')).toEqual([]);
        expect(findingsOf(results.findings, 'recorder-clipping')).toEqual([]);
      });
  });
});
