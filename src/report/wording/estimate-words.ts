import { findingsOf } from '../../model/finding.ts';
import { recommendationsOf } from '../../model/recommendation.ts';
import type { Results } from '../../model/results.ts';

/** What a radio may turn out to do, and what that would need: for the first call, before anything was measured. */
interface Outcome {
  readonly finding: string;
  readonly says: string;
  readonly needs: string;
  /** Whether the results show it; null where nothing was measured, or it cannot be told. */
  readonly found: boolean | null;
}

/** @param results null before the first recording */
export function outcomes(results: Results | null): Outcome[] {
  return OUTCOMES.map(({ found, ...words }) => ({
    ...words,
    ...(words.finding === FULL_RANGE && isLineLevel(results) ? { says: STRAIGHT_IN } : {}),
    found: results === null ? null : found(results),
  }));
}

function isLineLevel(results: Results | null): boolean {
  return recommendationsOf(results?.recommendations ?? [], 'order').some(({ level }) => level === 'line');
}

const FULL_RANGE = 'Full range, bass stays';
const STRAIGHT_IN = 'The outputs are line level: they go straight into an amplifier’s line inputs.';

/** Where parts are not needed, work is; hours and prices are the shop's own. */
const OUTCOMES: readonly (Omit<Outcome, 'found'> & {
  readonly found: (results: Results) => boolean | null;
})[] = [
  {
    finding: FULL_RANGE,
    says: 'Any amplifier with speaker-level inputs can be fed as it is.',
    needs: 'Amplifier, wiring kit.',
    found: (results) => {
      const all = bands(results);
      if (all.length === 0 || all.includes('cannot be told') || bassFalls(results) === null) return null;
      return all.every((verdict) => verdict === 'full range') && bassFalls(results) === false;
    },
  },
  {
    finding: 'Bass cut as the volume rises',
    says: 'The subwoofer would fade away when you turn it up.',
    needs: 'A converter with bass restoration. Up to about 12 dB can be put back.',
    found: bassFalls,
  },
  {
    finding: 'Bands split between outputs',
    says: 'Dash and doors carry half of the music each.',
    needs: 'A converter that sums inputs, two for each side.',
    found: (results) =>
      bands(results).length === 0 ? null : findingsOf(results.findings, 'crossover').length > 0,
  },
  {
    finding: 'A limiter holds the bass',
    says: 'No part behind the radio brings back what it holds.',
    needs: 'A source before the limiter, or a lower limit for the volume.',
    found: (results) =>
      results.measurements.length === 0 ? null : findingsOf(results.findings, 'bass-limiter').length > 0,
  },
  {
    finding: 'Outputs late or inverted',
    says: 'Summed as they are, they cancel.',
    needs: 'Swapped pairs, which cost nothing; for late ones a processor with delay.',
    found: (results) => {
      const timing = findingsOf(results.findings, 'timing');
      return timing.length === 0 ? null : timing.some(({ polarity }) => polarity === 'inverted');
    },
  },
  {
    finding: 'The radio clips early',
    says: 'It distorts below the volume that you use.',
    needs: 'A line-level or digital output, if the car has one. Else a limit for the volume.',
    found: (results) => {
      const [clean] = recommendationsOf(results.recommendations, 'highest-clean-setting');
      const highest = Math.max(...results.session.settings);
      return clean === undefined ? null : clean.recorded === null || clean.recorded < highest * EARLY_SHARE;
    },
  },
  {
    finding: 'No signal to tap',
    says: 'The factory amplifier is fed over a digital link.',
    needs: "Taps behind the factory amplifier, or the maker's interface.",
    found: () => null,
  },
];

/** A radio should play clean to about two thirds of its range (common practice). */
const EARLY_SHARE = 2 / 3;

function bands(results: Results): string[] {
  return findingsOf(results.findings, 'band').map(({ verdict }) => verdict);
}

function bassFalls(results: Results): boolean | null {
  const verdicts = findingsOf(results.findings, 'bass-change').map(({ verdict }) => verdict);
  if (verdicts.includes('falls with volume')) return true;
  return verdicts.includes('steady') ? false : null;
}
