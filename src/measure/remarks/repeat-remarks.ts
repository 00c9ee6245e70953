import type { Remark, TakeFacts } from '../../model/check.ts';

/** Repeats of one setting agree better (tests/faults); a radio that follows speed or engine moves in steps of 1 dB and more. */
const REPEATS_DIFFER_DB = 0.5;

/** What is to be said of a take that repeats an earlier one of the same taps at the same setting. */
export function repeatRemarks({ take, all }: { take: TakeFacts; all: readonly TakeFacts[] }): Remark[] {
  const copies = copied({ take, all });
  if (copies.length > 0) return copies;
  const taps = (facts: TakeFacts) => facts.channels.map(({ tapId }) => tapId).join('\n');
  const earlier = all
    .slice(0, all.indexOf(take))
    .find((other) => other.setting === take.setting && taps(other) === taps(take));
  if (earlier === undefined || take.setting === null) return [];
  const differsDb = largestLevelDifferenceDb(take, earlier);
  const where = { file: earlier.file, atSeconds: earlier.takeStartSeconds };
  return [
    differsDb > REPEATS_DIFFER_DB
      ? {
          weight: 'settle',
          tapIds: [],
          reason: { code: 'differs from an earlier take', ...where, differsDb },
        }
      : { weight: 'note', tapIds: [], reason: { code: 'averaged with an earlier take', ...where } },
  ];
}

/** One recording for two takes: of two settings neither is sure to be its own; as a repeat it says nothing more. */
function copied({ take, all }: { take: TakeFacts; all: readonly TakeFacts[] }): Remark[] {
  const copies = all
    .filter(({ sameAs }) => sameAs?.file === take.file && sameAs.atSeconds === take.takeStartSeconds)
    .map(({ file, takeStartSeconds: atSeconds, setting }) => ({ file, atSeconds, setting }));
  const others = [...(take.sameAs === undefined ? [] : [take.sameAs]), ...copies];
  const other = others.find(({ setting }) => setting !== take.setting) ?? take.sameAs;
  if (other === undefined) return [];
  const { file, atSeconds, setting } = other;
  return [
    {
      weight: setting === take.setting ? 'note' : 'record again',
      tapIds: [],
      reason: { code: 'same samples as another take', file, atSeconds },
    },
  ];
}

function largestLevelDifferenceDb(one: TakeFacts, other: TakeFacts): number {
  const differences = one.channels.map(({ levelDbFs }, i) => {
    const theirs = other.channels[i].levelDbFs;
    return levelDbFs === null || theirs === null ? 0 : Math.abs(levelDbFs - theirs);
  });
  return Math.max(0, ...differences);
}
