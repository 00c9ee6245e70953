import { describe, expect, test } from 'vitest';
import { findBand } from '../../../src/findings/band/band.ts';
import { fitTap } from '../../../src/findings/band/fitted-tap.ts';
import type { BandEdge } from '../../../src/model/finding.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import type { Measured } from '../../../src/model/measured.ts';
import { cases, everyGridPoint } from '../../references/scipy-filters.ts';
import { exactMeasurement, measuredResponse, seeded, sigmaOf } from '../exact-responses.ts';
import { measuredValue, minus3Hz } from './minus-3-hz.ts';

describe('the 30 filters that scipy computed, with noise', () => {
  test.each(cases)('$side $family of order $order at $cornerHz Hz', (filter) => {
    const random = seeded(filter.cornerHz + filter.order);
    const limits = [
      { snrDb: 60, cornerError: 0.02, named: true },
      { snrDb: 40, cornerError: 0.03, named: false },
      { snrDb: 20, cornerError: 2 ** (1 / 6) - 1, named: false },
    ];
    for (const { snrDb, cornerError, named } of limits) {
      const edge = edgeFound(filter, { snrDb, random });
      const minus3 = measuredValue(edge.minus3Hz);
      expect(Math.abs(minus3 / minus3Hz(filter) - 1), `-3 dB point at ${snrDb} dB`).toBeLessThan(cornerError);
      if (snrDb >= 40) expect(edge.slopeDbPerOctave).toBe(6 * filter.order);
      else expect(edge.slopeDbPerOctave).toHaveProperty('notMeasurable');
      if (named) {
        expect(edge.filter).toMatchObject({ family: filter.family, order: filter.order });
        const corner = (edge.filter as { cornerHz: Measured }).cornerHz;
        expect(Math.abs(corner.value / filter.cornerHz - 1)).toBeLessThan(cornerError);
      } else if ('family' in edge.filter) {
        expect(edge.filter).toMatchObject({ family: filter.family, order: filter.order });
      }
      if (snrDb < 40) expect(edge.filter).toHaveProperty('notMeasurable');
    }
  });
});

function edgeFound(
  filter: { side: string; real: number[]; imag: number[] },
  { snrDb, random }: { snrDb: number; random: () => number },
): BandEdge {
  // The fixture holds every fourth point of the grid; between them logarithm and phase are smooth.
  const exact = onWholeGrid(filter);
  const response = measuredResponse(exact, sigmaOf({ snrDb }), random);
  const measurement = { ...exactMeasurement({ tapId: 't', snrDb, random }), left: response };
  const band = findBand(
    fitTap({ tapId: 't', carries: 'left', measurements: [measurement], ceilingHz: null }),
  );
  expect(band.verdict).toBe('band-limited');
  expect(filter.side === 'low-pass' ? band.lowEdge : band.highEdge).toBeNull();
  return (filter.side === 'low-pass' ? band.highEdge : band.lowEdge)!;
}

function onWholeGrid({ real, imag }: { real: number[]; imag: number[] }) {
  const count = gridFrequencyHz.length;
  const out = { real: new Float64Array(count), imag: new Float64Array(count) };
  const ln = real.map((re, k) => Math.log(Math.hypot(re, imag[k])));
  const phase: number[] = [];
  real.forEach((re, k) => {
    const wrapped = Math.atan2(imag[k], re);
    phase.push(
      k === 0 ? wrapped : wrapped - 2 * Math.PI * Math.round((wrapped - phase[k - 1]) / (2 * Math.PI)),
    );
  });
  for (let i = 0; i < count; i++) {
    const size = Math.exp(cubic(ln, i / everyGridPoint));
    const angle = cubic(phase, i / everyGridPoint);
    out.real[i] = size * Math.cos(angle);
    out.imag[i] = size * Math.sin(angle);
  }
  return out;
}

/** Lagrange interpolation over the four nearest values. */
function cubic(values: readonly number[], position: number): number {
  const first = Math.max(0, Math.min(values.length - 4, Math.floor(position) - 1));
  let sum = 0;
  for (let j = 0; j < 4; j++) {
    let weight = 1;
    for (let k = 0; k < 4; k++) if (k !== j) weight *= (position - first - k) / (j - k);
    sum += weight * values[first + j];
  }
  return sum;
}
