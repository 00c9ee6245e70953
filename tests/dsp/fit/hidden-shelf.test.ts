import { describe, expect, test } from 'vitest';
import { hiddenShelf } from '../../../src/dsp/fit/hidden-shelf.ts';
import { type LogResponse, logResponse } from '../../../src/dsp/fit/log-response.ts';
import { FIRST_TERM_PARAMETER, fitResponse } from '../../../src/dsp/fit/response-fit.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { exactResponse } from '../../findings/exact-responses.ts';

const EDGE = { side: 'high-pass', family: 'linkwitz-riley', order: 4, cornerHz: 400 } as const;
const shape = { sampleRateHz: null, terms: [{ kind: 'edge', ...EDGE }] } as const;

/** A filter with a low shelf beside it, measured with 60 dB of signal to noise, without the noise itself. */
function measured(shelfDb: number, rangeHz: readonly [number, number]): LogResponse {
  const eq = [{ kind: 'low shelf', frequencyHz: 125, gainDb: shelfDb, q: Math.SQRT1_2 }] as const;
  const exact = exactResponse({ edges: [EDGE], eq });
  const sigma = new Float64Array(gridFrequencyHz.length).fill(1e-3);
  return logResponse({ ...exact, sigma }, { frequencyHz: gridFrequencyHz, rangeHz })!;
}

function fitted(data: LogResponse) {
  return fitResponse(data, shape, {
    termParameters: Float64Array.of(Math.log(EDGE.cornerHz)),
    tolerance: 1e-9,
  });
}

describe('a shelf that a fit lacks', () => {
  test('moves the corner as much as a fit of a response that holds a tenth of a decibel of it shows', () => {
    const data = measured(0, [150, 19_000]);
    const { perDecibel } = hiddenShelf(data, fitted(data));
    const corner = (shelfDb: number) =>
      fitted(measured(shelfDb, [150, 19_000])).parameters[FIRST_TERM_PARAMETER];
    const moved = corner(0.1) - corner(0);
    expect(Math.abs(moved)).toBeGreaterThan(1e-5);
    expect((0.1 * perDecibel[FIRST_TERM_PARAMETER]) / moved).toBeCloseTo(1, 1);
  });

  test('is bounded by what the response shows of it: the less bass, the less is known', () => {
    const sigmas = [50, 1000, 4000].map((fromHz) => {
      const data = measured(0, [fromHz, 19_000]);
      return hiddenShelf(data, fitted(data)).gainSigmaDb;
    });
    expect(sigmas[0]).toBeLessThan(0.1);
    expect(sigmas[1]).toBeGreaterThan(2 * sigmas[0]);
    expect(sigmas[2]).toBeGreaterThan(2 * sigmas[1]);
    expect(sigmas[2]).toBeLessThanOrEqual(3); // the usual gain, where nothing is seen
  });
});
