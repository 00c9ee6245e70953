import { median } from '../../dsp/statistics.ts';
import { delayBetween } from '../../measure/sweeps/delay-between.ts';
import type { Doubt } from '../../model/doubt.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import type { FrequencyResponse } from '../../model/response.ts';
import type { OneTap } from './one-tap.ts';

/**
 * What follows the volume moves phases of the bass; arrivals are read above, on taps that reach up to there. Read from
 * 300 Hz on, a shelf at 90 Hz moved the demo's doors and rears by 12 microseconds against its dash.
 */
const FROM_HZ = 1000;
const UP_TO_HZ = 2000;
/** Half a sample at 48 kHz; radios hold their delays to the sample (common practice), and takes read far better. */
const LATER_SECONDS = 10e-6;
const SIGMAS = 6;

type Take = OneTap['takes'][number];

/**
 * Taps whose arrival against the first tap of the same takes is not the same at all settings: samples that one channel lost, or
 * one channel from another recording. No radio moves its delays with its volume.
 */
export function oddArrivals(taps: readonly OneTap[]): Doubt[] {
  const [reference, ...others] = taps;
  if (reference === undefined) return [];
  const referenceMoved = onceEach(movedBetween);
  return others.flatMap((one) => oddArrivalsOf(one, reference, referenceMoved));
}

/** @param referenceMoved the same for all taps, and most of the work */
function oddArrivalsOf(
  { tap, takes }: OneTap,
  reference: OneTap,
  referenceMoved: typeof movedBetween,
): Doubt[] {
  const together = takes.flatMap((own) => {
    const beside = reference.takes.find(
      ({ setting, timeOrigin }) => setting === own.setting && timeOrigin === own.timeOrigin,
    );
    return beside !== undefined && reachesUp(own) && reachesUp(beside) ? [{ own, beside }] : [];
  });
  const [base, ...rest] = together;
  if (base === undefined) return [];
  const later = rest.flatMap(({ own, beside }) => {
    const [moved, besideMoved] = [movedBetween(base.own, own), referenceMoved(base.beside, beside)];
    return moved === null || besideMoved === null
      ? []
      : [
          {
            setting: own.setting,
            seconds: moved.value - besideMoved.value,
            sigma: Math.hypot(moved.sigma, besideMoved.sigma),
          },
        ];
  });
  const all = [{ setting: base.own.setting, seconds: 0, sigma: 0 }, ...later];
  const usual = median(all.map(({ seconds }) => seconds));
  const odd = all.filter(
    ({ seconds, sigma }) => Math.abs(seconds - usual) > Math.max(LATER_SECONDS, SIGMAS * sigma),
  );
  if (odd.length === 0) return [];
  const seconds = all.map((one) => one.seconds);
  return [
    {
      kind: 'arrival',
      reason: {
        code: 'arrival differs between settings',
        // Where most are odd, none is.
        settings: 2 * odd.length < all.length ? odd.map(({ setting }) => setting) : [],
        microseconds: Number((1e6 * (Math.max(...seconds) - Math.min(...seconds))).toPrecision(3)),
      },
      tapIds: [tap.id],
      settings: null,
    },
  ];
}

function reachesUp({ response: { trustedHz } }: Take): boolean {
  return trustedHz !== null && trustedHz[1] > UP_TO_HZ;
}

function movedBetween(earlier: Take, later: Take): { value: number; sigma: number } | null {
  return delayBetween({ earlier: aboveBass(earlier.response), later: aboveBass(later.response) });
}

/** Remembers what came of two takes. */
function onceEach<Answer>(of: (one: Take, other: Take) => Answer): (one: Take, other: Take) => Answer {
  const known = new Map<Take, Map<Take, Answer>>();
  return (one, other) => {
    const answers = known.get(one) ?? new Map<Take, Answer>();
    known.set(one, answers);
    if (!answers.has(other)) answers.set(other, of(one, other));
    return answers.get(other)!;
  };
}

function aboveBass(response: FrequencyResponse): FrequencyResponse {
  return {
    ...response,
    sigma: response.sigma.map((sigma, i) =>
      gridFrequencyHz[i] < FROM_HZ ? Number.POSITIVE_INFINITY : sigma,
    ),
  };
}
