import type { Finding } from '../../../src/model/finding.ts';
import type { RandomFactory } from '../../../src/simulate/random-factory.ts';
import type { Claim, Reading } from '../outcome.ts';
import { judgeBand, judgeCrossovers } from './judge-band.ts';
import { judgeBass } from './judge-bass.ts';
import { judgeClipping } from './judge-clipping.ts';
import { judgeCeiling, judgeLevels } from './judge-levels.ts';
import { judgeLimiter } from './judge-limiter.ts';
import { judgeTiming } from './judge-timing.ts';
import { trueTaps } from './true-tap.ts';

/** All findings of a system held against what its scenario makes true. */
export function judgeSystem(
  factory: RandomFactory,
  findings: readonly Finding[],
): { claims: Claim[]; readings: Reading[] } {
  const taps = trueTaps(factory);
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
    claims: [...parts.flatMap(({ claims }) => claims), ...judgeCeiling(taps, findings)],
    readings: parts.flatMap(({ readings }) => readings),
  };
}
