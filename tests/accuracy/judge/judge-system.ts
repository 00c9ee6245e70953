import { drawSystem } from '../draw-system.ts';
import type { Analysed, Outcome } from '../outcome.ts';
import { judgeBand, judgeCrossovers } from './judge-band.ts';
import { judgeBass } from './judge-bass.ts';
import { judgeClipping } from './judge-clipping.ts';
import { judgeCeiling, judgeLevels } from './judge-levels.ts';
import { judgeLimiter } from './judge-limiter.ts';
import { judgeTiming } from './judge-timing.ts';
import { trueTaps } from './true-tap.ts';

/** All findings of a system held against what its scenario makes true. */
export function judgeSystem({ seed, findings, trustedHz, seconds, failure }: Analysed): Outcome {
  const factory = drawSystem(seed);
  const { nothingToFind, snrDb, unusual } = factory;
  const common = { seed, nothingToFind, unusual, snrDb, seconds, failure };
  if (findings.length === 0) return { ...common, claims: [], readings: [] };
  const taps = trueTaps(factory, trustedHz);
  const parts = [
    ...taps.flatMap((truth) => [
      judgeBass(truth, taps, findings),
      judgeLimiter(truth, findings),
      judgeBand(truth, findings),
      judgeClipping(truth, findings),
      judgeLevels(truth, findings),
    ]),
    judgeCrossovers(taps, findings),
    judgeTiming(taps, findings),
  ];
  return {
    ...common,
    claims: [...parts.flatMap(({ claims }) => claims), ...judgeCeiling(taps, findings)],
    readings: parts.flatMap(({ readings }) => readings),
  };
}
