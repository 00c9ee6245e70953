import { type Random, seededRandom } from '../../src/dsp/random.ts';
import { SteptoneError } from '../../src/model/errors.ts';
import seeds from './seeds.json' with { type: 'json' };

/** For each kind; `.ci/run` and `npm run fuzz` give more time, and a busy machine gets its cases all the same. */
const SECONDS = Number(process.env.STEPTONE_FUZZ_SECONDS ?? 1);
const FEWEST_CASES = 40;
/** Of processor time, whatever else the machine does; the longest takes two. */
const LONGEST_CASE_SECONDS = 60;
/** Of a test: a thing that hangs ends there, and a machine with twenty times as much to do does not. */
export const TIMEOUT = 1000 * (SECONDS + 900);

/**
 * Tries a kind of input again and again: the seeds kept in the repository, which once found something, and then one seed
 * after the other until there are enough and the time is over.
 *
 * @param attempt makes one input from the random numbers and uses it; any error but one for users is a fault
 * @returns how often each outcome came up
 */
export function tryOut(
  kind: keyof typeof seeds,
  attempt: (random: Random) => void,
  fewest = FEWEST_CASES,
): Map<string, number> {
  const outcomes = new Map<string, number>();
  const end = performance.now() + 1000 * SECONDS;
  const first = process.env.STEPTONE_FUZZ_SEED === undefined ? 1 : Number(process.env.STEPTONE_FUZZ_SEED);
  const kept = process.env.STEPTONE_FUZZ_SEED === undefined ? seeds[kind] : [];
  for (let i = 0; i < kept.length + fewest || performance.now() < end; i++) {
    const seed = kept[i] ?? first + i - kept.length;
    const began = process.cpuUsage();
    const outcome = outcomeOf(() => attempt(seededRandom(seed)), `${kind}, seed ${seed}`);
    const seconds = process.cpuUsage(began).user / 1e6;
    if (seconds > LONGEST_CASE_SECONDS)
      throw new Error(`${kind}, seed ${seed}: took ${seconds.toFixed(1)} s`);
    outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
  }
  if (process.env.STEPTONE_FUZZ_SECONDS !== undefined) console.info(`${kind}: ${told(outcomes)}`);
  return outcomes;
}

function told(outcomes: ReadonlyMap<string, number>): string {
  return [...outcomes].map(([outcome, count]) => `${count} ${outcome}`).join(', ');
}

/** 'used', or the code of an error for users; anything else is a fault. */
export function outcomeOf(work: () => void, which: string): string {
  try {
    work();
    return 'used';
  } catch (error) {
    if (error instanceof SteptoneError) return error.code;
    throw new Error(`${which}: a fault of the tool`, { cause: error });
  }
}
