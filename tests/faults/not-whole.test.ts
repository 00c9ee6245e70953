import { beforeAll, describe, expect, test } from 'vitest';
import type { Remark } from '../../src/model/check.ts';
import { codeOf } from '../../src/model/reason.ts';
import { exampleScenario } from '../../src/simulate/examples.ts';
import { thrown } from '../thrown.ts';
import { largestDifferenceDb, measuredSpoilt, type Spoilable } from './spoilt.ts';

let good: ReturnType<typeof measuredSpoilt>;
let start: number;
beforeAll(() => {
  good = measuredSpoilt(() => {});
  start = good.facts[0].takeStartSeconds;
});

/** The same radio with more noise, as a part that was not recorded has none. */
const NOISY_TAKE = exampleScenario('shelf loss', { settings: [20], everyTap: { noise: { snrDb: 30 } } });

const codes = (remarks: readonly Remark[]) => [...new Set(remarks.map(({ reason }) => codeOf(reason)))];
const left = ({ measurements }: ReturnType<typeof measuredSpoilt>) => measurements[0];

describe('a recording that is not whole', () => {
  const cut = (recording: Spoilable, from: number, to: number) => {
    recording.channels = recording.channels.map((channel) =>
      channel.slice(Math.round(from * recording.sampleRateHz), Math.round(to * recording.sampleRateHz)),
    );
  };

  test('started after the first sweep: told, and the rest is measured', () => {
    const spoilt = measuredSpoilt((recording) => cut(recording, start + 8, 60));
    expect(codes(spoilt.remarks)).toContain('sections not heard');
    expect(codes(spoilt.remarks)).not.toContain('muted at the start');
    expect(codes(spoilt.remarks)).not.toContain('knock');
    expect(
      largestDifferenceDb(spoilt.measurements[1].right, good.measurements[1].right, [20, 19_000]),
    ).toBeLessThan(0.02);
  });

  test.each([1.6, 2.5, 4, 7])(
    'started %d s into the first sweep’s take, with noise: clock, levels and sides are right',
    (late) => {
      const spoilt = measuredSpoilt((recording) => cut(recording, start + late, 60), NOISY_TAKE);
      expect(codes(spoilt.remarks)).toEqual(['little above the noise', 'sections not heard']);
      const [{ clockPpm, channels }] = spoilt.facts;
      expect(Math.abs(clockPpm!.value - 37)).toBeLessThan(0.02);
      expect(channels.map(({ carries }) => carries)).toEqual(['left', 'right']);
      for (const [i, { levelDbFs }] of channels.entries())
        expect(Math.abs(levelDbFs! - good.facts[0].channels[i].levelDbFs!)).toBeLessThan(0.1);
      expect(spoilt.measurements[1].left.trustedHz).toBeNull();
      const passedHz = 10 * 2000 ** ((late - 1.5) / 6);
      expect(left(spoilt).left.trustedHz?.[0] ?? 1e5).toBeGreaterThan(Math.min(12, passedHz));
    },
  );

  test('stopped in the last closing sweep: no gain is said to have changed, no side is taken for another', () => {
    const spoilt = measuredSpoilt((recording) => cut(recording, 0, start + 34.6), NOISY_TAKE);
    expect(codes(spoilt.remarks)).toEqual(['stopped early']);
    const [{ clockPpm, channels }] = spoilt.facts;
    expect(Math.abs(clockPpm!.value - 37)).toBeLessThan(0.02);
    expect(channels.map(({ carries }) => carries)).toEqual(['left', 'right']);
  });

  test('stopped in the silence: all but the noise is measured', () => {
    const spoilt = measuredSpoilt((recording) => cut(recording, 0, start + 40));
    expect(left(spoilt).noise).toBeNull();
    expect(largestDifferenceDb(left(spoilt).left, left(good).left, [20, 19_000])).toBe(0);
  });

  test.each([
    ['stopped in the ladders', (r: Spoilable) => cut(r, 0, start + 25), /broken off/],
    ['stopped before the closing sweeps', (r: Spoilable) => cut(r, 0, start + 31.8), /broken off/],
    [
      'labelled 48 kHz with sound of 44.1 kHz',
      (r: Spoilable) => Object.assign(r, { sampleRateHz: 44_100 }),
      /factor of 1\.088/,
    ],
    [
      'a steady meter tone',
      (r: Spoilable) => replaceBy(r, (t) => 0.2 * Math.sin(2 * Math.PI * 100 * t)),
      /100 Hz/,
    ],
    ['silence', (r: Spoilable) => replaceBy(r, () => 0), /nothing was connected/],
    ['other sound', (r: Spoilable) => replaceBy(r, (t) => 0.2 * Math.sin(900 * t * t)), /another file/],
  ] as const)('%s: refused, and the likely cause is named', (_, spoil, cause) => {
    const error = thrown(() => measuredSpoilt((recording) => void spoil(recording)));
    expect(error.code).toBe('no-track');
    expect(error.parts.likelyCause).toMatch(cause);
  });
});

function replaceBy(recording: Spoilable, value: (seconds: number) => number): void {
  for (const channel of recording.channels)
    for (let n = 0; n < channel.length; n++) channel[n] = value(n / recording.sampleRateHz);
}
