import { modulus } from '../../dsp/modulus.ts';
import type { SweepResponse } from '../../dsp/sweep-response.ts';
import { gridFrequencyHz } from '../../model/frequency-grid.ts';
import { type Continuity, continuityOf, type Repetition } from '../../takes/continuity.ts';
import type { Sweeps } from '../disturbances/noisy-sections.ts';
import { type CleanedSweeps, carriesSomething } from './cleaned-sweeps.ts';
import { correctedResponse } from './corrected-response.ts';
import { secondsBetween } from './seconds-between.ts';
import type { SectionResponses } from './section-responses.ts';

/** Whether time runs evenly through a take, by every programme that was played twice on any channel. */
export function takeContinuity(
  { openings, closings, low }: Sweeps,
  cleaned: readonly CleanedSweeps[],
  of: { ppm: number; missing: readonly string[]; sampleRateHz: number },
): Continuity {
  const heard = [...openings, ...closings, ...(low === null ? [] : [low])].filter(
    ({ section, isPart }) => !of.missing.includes(section.id) && isPart !== true,
  );
  const startSeconds = new Map(heard.map(({ section }) => [section.id as string, section.startSeconds]));
  const repetitions = strongest(cleaned).flatMap((channel): Repetition[] => {
    const corrected = (sweep: SectionResponses, response: SweepResponse) =>
      correctedResponse(sweep.section, response, of.ppm);
    const opened = openings.map((sweep, side) => corrected(sweep, channel.openings[side]));
    const repeated = openings.map((sweep, side) => ({
      earlier: [sweep.section.id],
      later: closings[side].section.id,
      one: opened[side],
      other: corrected(closings[side], channel.closings[side]),
      secondsBetween: secondsBetween({ earlier: sweep, later: closings[side] }),
    }));
    const carried = openings.filter((_, side) => carriesSomething(channel.openings[side]));
    if (low === null || channel.low === null || carried.length === 0) return repeated;
    return [
      ...repeated,
      {
        earlier: carried.map(({ section }) => section.id),
        later: low.section.id,
        one: sumOf(opened),
        other: corrected(low, channel.low),
        secondsBetween: secondsBetween({ earlier: carried[0], later: low }),
      },
    ];
  });
  return continuityOf({
    repetitions: repetitions.filter(({ earlier, later }) =>
      [...earlier, later].every((section) => startSeconds.has(section)),
    ),
    frequencyHz: gridFrequencyHz,
    startSeconds,
    sampleRateHz: of.sampleRateHz,
  });
}

/** The channel that carries each side best: what a recorder lost, it lost on all of them. */
function strongest(cleaned: readonly CleanedSweeps[]): CleanedSweeps[] {
  const power = ({ real, imag }: SweepResponse) =>
    real.reduce((sum, value, k) => sum + value * value + imag[k] * imag[k], 0);
  const best = cleaned[0].openings.map((_, side) =>
    cleaned.reduce((a, b) => (power(b.openings[side]) > power(a.openings[side]) ? b : a)),
  );
  return [...new Set(best)];
}

function sumOf([one, other]: readonly SweepResponse[]): SweepResponse {
  return {
    real: one.real.map((value, k) => value + other.real[k]),
    imag: one.imag.map((value, k) => value + other.imag[k]),
    sigma: one.sigma.map((value, k) => modulus(value, other.sigma[k])),
  };
}
