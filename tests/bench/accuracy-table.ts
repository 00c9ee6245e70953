import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gridFrequencyHz, POINTS_PER_DECADE } from '../../src/model/frequency-grid.ts';
import { resolveScenario } from '../../src/simulate/read-scenario.ts';
import type { Scenario } from '../../src/simulate/scenario.ts';
import { levelDbOf, trueRecordedResponse } from '../../src/simulate/true-response.ts';

/** Levels of the side that a tap carries, decibels, one for each of some frequencies. */
export type Levels = readonly {
  readonly file: string;
  readonly channel: number;
  readonly levelsDb: readonly number[];
}[];

/** A tap this far below its own strongest is not compared: what a tweeter's output has of bass is noise. */
const WITHIN_DB = 20;

/** To the nearest point of the grid: half of a step, as a logarithm. */
const HALF_A_POINT = Math.LN10 / POINTS_PER_DECADE / 2;

/** Largest and RMS error against what the simulator's filters say, decibels, a row for each frequency. */
export function printErrors(of: {
  folder: string;
  hz: readonly number[];
  measured: Readonly<Record<string, Levels>>;
}): void {
  const truth = JSON.parse(readFileSync(join(of.folder, 'truth.json'), 'utf8'));
  const scenario = resolveScenario(truth.scenario);
  console.log('\nerror of the levels against the truth, dB: largest, RMS');
  for (const [name, levels] of Object.entries(of.measured)) {
    const errors = of.hz.map((_, place) =>
      levels.flatMap(({ file, channel, levelsDb }) => {
        const expected = trueLevels(scenario, { file, channel, hz: of.hz });
        return expected[place] < Math.max(...expected) - WITHIN_DB ? [] : [levelsDb[place] - expected[place]];
      }),
    );
    const cells = errors.map((some, place) => {
      const largest = Math.max(...some.map(Math.abs));
      const rms = Math.sqrt(some.reduce((sum, error) => sum + error ** 2, 0) / some.length);
      return `${of.hz[place]} Hz: ${largest.toFixed(4)}, ${rms.toFixed(4)}`;
    });
    console.log(`${name.padEnd(30)} ${cells.join('   ')}`);
  }
}

function trueLevels(
  scenario: Scenario,
  { file, channel, hz }: { file: string; channel: number; hz: readonly number[] },
): number[] {
  const { id, side } = scenario.taps[channel];
  const programme = side === 'right' ? 'right' : 'left';
  const setting = Number(/\d+/.exec(file)![0]);
  const response = trueRecordedResponse(scenario, { tapId: id, setting, programme });
  return hz.map((one) => levelDbOf(response(one)));
}

/** Those that `steptone analyse` wrote, of the stronger side. */
export function levelsInResults(resultsFile: string, hz: readonly number[]): Levels {
  const { measurements } = JSON.parse(readFileSync(resultsFile, 'utf8')) as {
    measurements: {
      evidence: { file: string; channel: number }[];
      left: { magnitudeDb: number[] };
      right: { magnitudeDb: number[] };
    }[];
  };
  const places = hz.map((one) =>
    gridFrequencyHz.findIndex((at) => Math.abs(Math.log(at / one)) < HALF_A_POINT),
  );
  return measurements.map(({ evidence: [{ file, channel }], left, right }) => ({
    file,
    channel: channel - 1,
    levelsDb: places.map((place) => Math.max(left.magnitudeDb[place], right.magnitudeDb[place])),
  }));
}

/** As the scripts print them. */
export function levelsPrinted(levels: readonly [string, number, number[]][]): Levels {
  return levels.map(([file, channel, sizes]) => ({
    file,
    channel,
    levelsDb: sizes.map((size) => 20 * Math.log10(size)),
  }));
}

/** As `LEVELS_HZ` of the scripts: on the grid of all three, and not on the mains lines of the scenario. */
export const LEVELS_HZ = [40, 80, 1000, 5000];
