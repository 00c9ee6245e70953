import { beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../src/analyse.ts';
import { type FindingOf, findingsOf } from '../../src/model/finding.ts';
import { isNotMeasurable } from '../../src/model/measured.ts';
import { resolveSession } from '../../src/model/resolve-session.ts';
import type { Results } from '../../src/model/results.ts';
import type { SessionInput } from '../../src/model/session-input.ts';
import { renderHandOverSheet } from '../../src/report/sheets/hand-over-sheet.ts';
import { parseScenario } from '../../src/simulate/read-scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';
import { checkLines } from '../../src/words/lines/check-lines.ts';
import { memorySound } from '../memory-sound.ts';

const RATE_HZ = 48_000;
const SETTINGS = [14, 22, 30];
/** A decibel a step; the rail lets setting 22 (12.6 V peak) through whole, and clips setting 30. */
const PEAK_VOLTS_AT_22 = 12.6;
const RAIL_VOLTS_PEAK = 15;
const LARGEST_ERROR_DB = 0.05;

interface Played {
  readonly settings: readonly number[];
  readonly track?: 'full' | 'response only';
  /** Against the stick. */
  readonly gainDb?: number;
  readonly tap?: object;
}

/** The radio at some settings, played from a stick or from something louder, coloured or unsteady. */
function recorded({ settings, track = 'full', gainDb = 0, tap = {} }: Played): Float32Array[] {
  const voltsRms = (PEAK_VOLTS_AT_22 / Math.SQRT2) * 10 ** (gainDb / 20);
  const scenario = {
    seed: 3,
    settings: settings.join(', '),
    track,
    taps: [
      {
        id: 'front-left',
        side: 'left',
        railVoltsPeak: RAIL_VOLTS_PEAK,
        volume: { atSetting: 22, voltsRms, dbPerStep: 1 },
        ...tap,
      },
    ],
    recorder: { sampleRateHz: RATE_HZ },
  };
  const made = simulate(parseScenario({ fileName: 'scenario', text: JSON.stringify(scenario) }));
  return Array.from(made.recordings(), ({ channels }) => channels[0]);
}

/** Steep low-pass as of a codec: a windowed sinc. */
function brickWall(samples: Float32Array, cornerHz: number): Float32Array {
  const half = 160;
  const taps = Float64Array.from({ length: 2 * half + 1 }, (_, k) => {
    const x = (2 * Math.PI * cornerHz * (k - half)) / RATE_HZ;
    const sinc = k === half ? 1 : Math.sin(x) / x;
    return ((2 * cornerHz) / RATE_HZ) * sinc * (0.54 - 0.46 * Math.cos((Math.PI * k) / half));
  });
  return samples.map((_, n) => {
    let sum = 0;
    for (let k = 0; k < taps.length; k++) sum += taps[k] * (samples[n + half - k] ?? 0);
    return sum;
  });
}

const input: SessionInput = {
  settings: SETTINGS,
  taps: [{ id: 'front-left', side: 'left' }],
  channels: ['front-left'],
  otherSource: 'phone over the air',
};

function analysed(files: ReadonlyMap<string, Float32Array>, more: SessionInput = {}): Results {
  const session = resolveSession({ ...input, ...more }, { folderFiles: [...files.keys()] });
  const open = (file: string) =>
    memorySound({ name: file, sampleRateHz: RATE_HZ, channels: [files.get(file)!] });
  return analyse({ session, open, toolVersion: 'test', inputs: [] });
}

let alone: Results;
let results: Results;
beforeAll(() => {
  const stick = recorded({ settings: SETTINGS }).map(
    (samples, i) => [`setting-${SETTINGS[i]}.wav`, samples] as const,
  );
  const [louder] = recorded({ settings: [22], gainDb: 3 });
  const [lossy] = recorded({
    settings: [14],
    track: 'response only',
    gainDb: -6,
    tap: { fixedEq: [{ kind: 'low shelf', frequencyHz: 150, gainDb: 6 }] },
  });
  const [unsteady] = recorded({
    settings: [22],
    gainDb: -3,
    tap: { gainDrift: { gainDb: 2, fromSeconds: 10, toSeconds: 30 } },
  });
  const [clipping] = recorded({ settings: [22], gainDb: -2, tap: { clipBeforeDbFs: -5 } });
  const [between] = recorded({ settings: [25], track: 'response only' });
  const others = [
    ['source-phone-22.wav', louder],
    ['source-14.wav', brickWall(lossy, 13_000)],
    ['player.wav', unsteady],
    ['source-app-22.wav', clipping],
    ['source-disc-25.wav', between],
    ['source-tape-22.wav', new Float32Array(RATE_HZ)],
    ['source-copy-22.wav', stick[1][1].map((sample) => 0.9995 * sample)],
  ] as const;
  alone = analysed(new Map(stick));
  results = analysed(new Map([...stick, ...others]), {
    recordings: [...stick.map(([file]) => file), { file: 'player.wav', setting: 22, source: 'player' }],
  });
});

function about(source: string): FindingOf<'other-source'> {
  return findingsOf(results.findings, 'other-source').find((one) => one.source === source)!;
}

function heldSource(source: string) {
  return results.chain!.player.others!.find((one) => one.source === source);
}

function levelOf({ levelDb }: FindingOf<'other-source'>): number {
  return isNotMeasurable(levelDb) ? Number.NaN : levelDb.value;
}

const NOTHING_ELSE = { ceilingHz: null, tone: null, movesDb: null, clip: null };

describe('a second source', () => {
  it('that is 3 dB louder is told so, and its clean setting is one that is 3 dB lower or more.', () => {
    const finding = about('phone');
    expect(finding).toMatchObject({ comparedWith: 'USB stick', settings: [22], ...NOTHING_ELSE });
    expect(Math.abs(levelOf(finding) - 3)).toBeLessThan(LARGEST_ERROR_DB);
    expect(results.chain!.volume.cleanSetting).toBe(22);
    expect(heldSource('phone')).toMatchObject({ cleanSetting: 14 });
  });

  it('is said in check, hand-over sheet and drawing.', () => {
    const lines = checkLines(results.checks!).join('\n');
    expect(lines).toContain('from phone it plays 3.0 dB louder than from USB stick');
    expect(lines).toContain('(source-phone-22.wav at');
    const sheet = renderHandOverSheet(results);
    expect(sheet).toContain('From phone stop at 14');
    expect(sheet).toContain('the highest clean setting from player');
    expect(sheet.replaceAll(/<[^>]*>/g, ' ')).toContain('Played from USB stick. From player');
  });

  it('takes nothing from what is found, planned and asked for with the first.', () => {
    expect(results.findings.filter(({ kind }) => kind !== 'other-source')).toEqual(alone.findings);
    expect(results.measurements).toEqual(alone.measurements);
    expect(results.recommendations).toEqual(alone.recommendations);
    expect(results.checks!.mayCloseDash).toBe(alone.checks!.mayCloseDash);
    expect(results.checks!.reasons).toEqual(alone.checks!.reasons);
  });

  it('that is quieter, coloured and lossy is told so; it gets no higher setting than was tried.', () => {
    const finding = about('phone over the air');
    // The shelf's tail reaches into the middle.
    expect(Math.abs(levelOf(finding) + 6)).toBeLessThan(0.3);
    expect(finding.ceilingHz!).toBeGreaterThan(12_500);
    expect(finding.ceilingHz!).toBeLessThan(13_500);
    expect(finding.tone!.frequencyHz).toBe(40);
    expect(Math.abs(finding.tone!.differsDb - 5.7)).toBeLessThan(0.5);
    expect(heldSource('phone over the air')).toMatchObject({ cleanSetting: 22 });
    expect(findingsOf(results.findings, 'common-ceiling')).toEqual([]);
  });

  it('whose level moves by itself has no clean setting.', () => {
    expect(Math.abs(about('player').movesDb! - 2)).toBeLessThan(0.3);
    expect(heldSource('player')).toMatchObject({ cleanSetting: null });
  });

  it('that clips by itself is told apart from the radio, which clips later.', () => {
    const { clip, movesDb } = about('app');
    expect(clip!.setting).toBe(22);
    expect(Math.abs(clip!.driveDbFs + 4.73)).toBeLessThan(0.1); // 1 % comes 0.27 dB past the clip
    expect(movesDb).toBe(null);
    expect(heldSource('app')).toMatchObject({ cleanSetting: 14 });
  });

  it('without a take of the usual source beside it, or with a file that cannot be read, says why.', () => {
    expect(about('disc').levelDb).toMatchObject({
      notMeasurable: { code: 'no take beside it', settings: [25] },
    });
    expect(heldSource('disc')).toMatchObject({ levelDb: null, cleanSetting: null });
    expect(results.checks!.files).toMatchObject([{ file: 'source-tape-22.wav', left: true }]);
    expect(about('tape')).toBe(undefined);
  });

  it('as good as the first is as loud, and nothing else is said of it.', () => {
    expect(Math.abs(levelOf(about('copy')))).toBeLessThan(LARGEST_ERROR_DB);
    expect(about('copy')).toMatchObject(NOTHING_ELSE);
    expect(heldSource('copy')).toMatchObject({ cleanSetting: 22 });
  });
});
