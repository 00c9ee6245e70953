import { mean } from '../dsp/statistics.ts';
import { gridFrequencyHz } from '../model/frequency-grid.ts';
import type { LadderMeasurement, TapMeasurement } from '../model/measurement.ts';
import { type FrequencyResponse, isWithin, magnitudeDb } from '../model/response.ts';
import { frequencyResponse } from './sweeps/trusted-band.ts';

/** Spread between repeats is stated over this band. */
const SPREAD_BAND_HZ = [40, 15_000] as const;

/**
 * Averages repeated takes of one tap at one setting (already on one time zero where they could be linked) and states how
 * far they lie apart. Repeats that could not be linked are averaged in level only by leaving the later ones out.
 */
export function mergeRepeats(measurements: readonly TapMeasurement[]): TapMeasurement[] {
  const groups = new Map<string, TapMeasurement[]>();
  for (const measurement of measurements) {
    const key = JSON.stringify([measurement.tapId, measurement.setting]);
    groups.set(key, [...(groups.get(key) ?? []), measurement]);
  }
  return [...groups.values()].map(mergeGroup);
}

function mergeGroup(all: readonly TapMeasurement[]): TapMeasurement {
  const first = all[0];
  if (all.length === 1) return first;
  const same = all.filter(({ timeOrigin }) => timeOrigin === first.timeOrigin);
  const low = same.flatMap(({ bothLowDrive }) => (bothLowDrive === null ? [] : [bothLowDrive]));
  const merged = {
    left: meanResponse(same.map(({ left }) => left)),
    right: meanResponse(same.map(({ right }) => right)),
  };
  const spreadDb = Math.max(
    ...same.flatMap((one) => [
      largestDifferenceDb(one.left, merged.left),
      largestDifferenceDb(one.right, merged.right),
    ]),
  );
  return {
    ...first,
    ...merged,
    evidence: same.flatMap(({ evidence }) => evidence),
    bothLowDrive: low.length === 0 ? null : meanResponse(low),
    ladders: meanLadders(same.map(({ ladders }) => ladders).filter((ladders) => ladders.length > 0)),
    noise: same.find(({ noise }) => noise !== null)?.noise ?? null,
    recorder: {
      ...first.recorder,
      peakDbFs: Math.max(...same.map(({ recorder }) => recorder.peakDbFs)),
      clippedRuns: same.reduce((sum, { recorder }) => sum + recorder.clippedRuns, 0),
    },
    repeats: { count: same.length, spreadDb },
  };
}

function meanResponse(responses: readonly FrequencyResponse[]): FrequencyResponse {
  const count = responses.length;
  const mean = (part: 'real' | 'imag') =>
    gridFrequencyHz.map((_, i) => responses.reduce((sum, response) => sum + response[part][i], 0) / count);
  const sigma = gridFrequencyHz.map(
    (_, i) => Math.hypot(...responses.map((response) => response.sigma[i])) / count,
  );
  return frequencyResponse({ real: mean('real'), imag: mean('imag'), sigma });
}

function largestDifferenceDb(one: FrequencyResponse, mean: FrequencyResponse): number {
  const trusted = one.trustedHz;
  if (trusted === null) return 0;
  const [a, b] = [magnitudeDb(one), magnitudeDb(mean)];
  return gridFrequencyHz.reduce(
    (most, hz, i) =>
      isWithin(trusted, hz) && isWithin(SPREAD_BAND_HZ, hz) ? Math.max(most, Math.abs(a[i] - b[i])) : most,
    0,
  );
}

function meanLadders(repeats: readonly (readonly LadderMeasurement[])[]): readonly LadderMeasurement[] {
  if (repeats.length < 2) return repeats[0] ?? [];
  return repeats[0].map((ladder, l) => ({
    ...ladder,
    steps: drivesOf(repeats, l).map((driveDbFs) => {
      // A knock may have taken the step out of some of the repeats.
      const all = repeats.flatMap((ladders) =>
        ladders[l].steps.filter((candidate) => candidate.driveDbFs === driveDbFs),
      );
      const [step] = all;
      const corrected = all.flatMap(({ thdBeforeFilters }) =>
        thdBeforeFilters === null ? [] : [thdBeforeFilters],
      );
      return {
        ...step,
        levelDbFs: mean(all.map(({ levelDbFs }) => levelDbFs)),
        levelSigmaDb: Math.hypot(...all.map(({ levelSigmaDb }) => levelSigmaDb)) / all.length,
        harmonics: step.harmonics.map((_, k) => mean(all.map(({ harmonics }) => harmonics[k]))),
        thd: mean(all.map(({ thd }) => thd)),
        thdBeforeFilters: corrected.length === 0 ? null : mean(corrected),
        peakDbFs: Math.max(...all.map(({ peakDbFs }) => peakDbFs)),
      };
    }),
  }));
}

function drivesOf(repeats: readonly (readonly LadderMeasurement[])[], l: number): number[] {
  const drives = repeats.flatMap((ladders) => ladders[l].steps.map(({ driveDbFs }) => driveDbFs));
  return [...new Set(drives)].sort((a, b) => a - b);
}
