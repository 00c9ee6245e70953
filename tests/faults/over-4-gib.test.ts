import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checkSchema } from '../../src/model/check.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { writeLongRecording } from '../bench/long-recording.ts';
import { type Ended, steptone } from '../cli/steptone.ts';

/** Reads 4.5 GB twice; on its own with `npm run test:long`, and skipped by name otherwise. */
const LONG = process.env.STEPTONE_LONG === '1';
const SETTINGS = [12, 16, 20];
/** Eight channels of 32-bit float at 96 kHz: over 4 GiB in 24 minutes. */
const SHAPE = { sampleRateHz: 96_000, channelCount: 8, seconds: 1450 } as const;
/** The first take begins early, the last one beyond 4 GiB. */
const STARTS_SECONDS = [5, 700, 1415] as const;
/** What is asked of any length; a bare node takes 45 of it. */
const MOST_MEGABYTES = 300;

describe.skipIf(!LONG)('one recording of over 4 GiB, as RF64 (only with STEPTONE_LONG=1)', () => {
  let folder: string;
  const usageOf = (name: string) =>
    JSON.parse(readFileSync(join(folder, `${name}.json`), 'utf8')) as { peakMegabytes: number };
  const run = (args: readonly string[], usage: string): Promise<Ended> =>
    steptone(args, { usageFile: join(folder, `${usage}.json`), timeoutSeconds: 400 });

  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'steptone-long-'));
    const scenario = exampleScenario('flat full range', {
      settings: SETTINGS,
      track: 'response only',
      recorder: { sampleRateHz: SHAPE.sampleRateHz, clockPpm: 100 },
    });
    const takes = [...simulate(scenario).recordings()].map(({ channels }, i) => ({
      atSeconds: STARTS_SECONDS[i],
      channels,
    }));
    writeLongRecording({ path: join(folder, 'all.wav'), ...SHAPE, takes });
    writeFileSync(
      join(folder, 'session.yaml'),
      'settings: [12, 16, 20]\nchannels: [front-left, front-right]\n',
    );
    expect(statSync(join(folder, 'all.wav')).size).toBeGreaterThan(2 ** 32);
  }, 120_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test('check finds its takes, the one beyond 4 GiB too, in at most 300 MB', async () => {
    const { status, stdout } = await run(['check', folder, '--json'], 'check');
    expect(status).toBe(0);
    const { takes } = checkSchema.parse(JSON.parse(stdout));
    expect(takes.map(({ facts }) => facts.setting)).toEqual(SETTINGS);
    takes.forEach(({ facts }, i) => {
      expect(facts.takeStartSeconds).toBeGreaterThan(STARTS_SECONDS[i]);
      expect(facts.takeStartSeconds).toBeLessThan(STARTS_SECONDS[i] + 3);
      expect(facts.clockPpm!.value).toBeCloseTo(100, 1);
    });
    expect(usageOf('check').peakMegabytes).toBeLessThan(MOST_MEGABYTES);
  }, 420_000);

  test('analyse writes its report in at most 300 MB', async () => {
    const { status } = await run(['analyse', folder, '--out', join(folder, 'out')], 'analyse');
    expect(status).toBe(0);
    expect(usageOf('analyse').peakMegabytes).toBeLessThan(MOST_MEGABYTES);
  }, 420_000);
});
