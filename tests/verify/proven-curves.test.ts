import { describe, expect, it } from 'vitest';
import { gridFrequencyHz } from '../../src/model/frequency-grid.ts';
import type { FeedFit } from '../../src/verify/feed-fit.ts';
import type { PlannedFeed } from '../../src/verify/planned-feed.ts';
import { provenCurves } from '../../src/verify/proven-curves.ts';
import type { RecordedFeed } from '../../src/verify/recorded-feed.ts';
import { fitOf, plannedFeed, pointAt, recordedFeed, recording } from './exact-recordings.ts';

/** Of a plan of 1 V at the output and a gain of 4, as it is heard at the amplifier. */
function curveOf(of: {
  planned?: Parameters<typeof plannedFeed>[0];
  node?: RecordedFeed['node'];
  restoration?: RecordedFeed['restoration'];
  gainDb?: number;
  trustedHz?: readonly [number, number];
  fit?: Partial<FeedFit>;
  points?: readonly number[];
}) {
  const { node, restoration = 'none', gainDb = 20 * Math.log10(4), trustedHz = [12, 19_500] } = of;
  const recorded = recordedFeed({
    planned: plannedFeed({ gain: () => 4, ...of.planned }),
    measurements: [recording({ left: { gainDb }, trustedHz })],
    node,
    restoration,
  });
  const fit = fitOf({}, of.points === undefined ? undefined : [{ points: [...of.points] }]);
  const curves = provenCurves(recorded, { ...fit, ...of.fit });
  expect(curves).toHaveLength(1);
  return curves[0];
}
const [at40, at80, at1000] = [40, 80, 1000].map(pointAt);

describe('curves of a proof, 0 dB being the middle of what is planned', () => {
  it('lie on each other where the install is as planned, and end where the recording is not trusted', () => {
    const { setting, beforeDb, plannedDb, afterDb } = curveOf({ trustedHz: [50, 10_000] });
    expect(setting).toBe(20);
    expect([beforeDb[at80], plannedDb[at80], afterDb[at80]]).toEqual([0, 0, 0]);
    expect(afterDb[at40]).toBeNull();
    expect(beforeDb[at40]).toBe(0);
  });

  it('show volts that are 3 dB too many as such, but nothing of a level that was recorded without volts', () => {
    const tooMuch = 20 * Math.log10(4) + 3;
    expect(curveOf({ gainDb: tooMuch }).afterDb[at1000]).toBe(3);
    const { fit } = fitOf({ gainDb: 20 });
    expect(curveOf({ gainDb: tooMuch + 17, fit: { fit, inVolts: false } }).afterDb[at1000]).toBe(0);
  });

  it('hold the amplifier’s low-pass as planned, 10 log10(1 + (f/80)^4) (Butterworth), behind the amplifier only', () => {
    const planned = {
      filters: [
        { type: 'low-pass', cornerHz: 80, slopeDbPerOctave: 12 },
      ] as unknown as PlannedFeed['filters'],
    };
    const lossDb = (i: number) => 10 * Math.log10(1 + (gridFrequencyHz[i] / 80) ** 4);
    const { fit } = fitOf({ filters: [{ family: 'butterworth', cornerHz: 95 }] });
    const filtered = curveOf({ planned, points: [at40], fit: { fit } });
    for (const i of [at40, at80, at1000]) {
      expect(filtered.plannedDb[i]).toBeCloseTo(lossDb(at40) - lossDb(i), 2);
      // Before is what the radio gives; the middle of the plan lies where it is judged.
      expect(filtered.beforeDb[i]).toBeCloseTo(lossDb(at40), 2);
    }
    const atLine = curveOf({ planned, node: 'converter output', points: [at40] });
    expect(atLine.plannedDb[at1000]).toBe(0);
  });

  it('hold the restoration where it is on or off by the plan, and none where there is none', () => {
    const planned = { boostDb: () => gridFrequencyHz.map((hz) => (hz < 60 ? 6 : 0)) };
    const restored = curveOf({ planned, restoration: 'on', points: [at1000] });
    expect([restored.plannedDb[at40], restored.beforeDb[at40]]).toEqual([6, 0]);
    expect(curveOf({ planned, points: [at1000] }).plannedDb[at40]).toBe(0);
  });

  it('are told to a hundredth of a decibel', () => {
    const planned = { volts: () => gridFrequencyHz.map((_, i) => (i === at40 ? 10 ** (0.1234 / 20) : 1)) };
    expect(curveOf({ planned }).beforeDb[at40]).toBe(0.12);
    expect(Object.is(curveOf({ gainDb: 20 * Math.log10(4) - 0.001 }).afterDb[at80], 0)).toBe(true);
  });

  it('are none at settings that the plan or the fit do not know', () => {
    const recorded = recordedFeed({ measurements: [recording({ setting: 20 }), recording({ setting: 24 })] });
    expect(provenCurves(recorded, fitOf()).map(({ setting }) => setting)).toEqual([20]);
    const unplanned = recordedFeed({ planned: plannedFeed({ volts: () => null }) });
    expect(provenCurves(unplanned, fitOf())).toEqual([]);
  });
});
