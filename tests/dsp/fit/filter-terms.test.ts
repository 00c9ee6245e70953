import { expect, test } from 'vitest';
import { evaluateOnGrid, lowShelfSections, peakingSections } from '../../../src/dsp/filter-prototype.ts';
import { addTerm, type TermShape } from '../../../src/dsp/fit/filter-terms.ts';
import { frequencyAxis } from '../../../src/dsp/fit/frequency-axis.ts';
import { modelOf } from '../../../src/dsp/fit/response-fit.ts';
import { gridFrequencyHz } from '../../../src/model/frequency-grid.ts';
import { cases, everyGridPoint } from '../../references/scipy-filters.ts';

const frequencyHz = gridFrequencyHz.filter((_, i) => i % everyGridPoint === 0);

test.each(cases)(
  'a $side $family of order $order at $cornerHz Hz and rate $sampleRateHz has the logarithm of the response that scipy computes',
  ({ family, order, side, cornerHz, sampleRateHz, real, imag }) => {
    const shape = { sampleRateHz, terms: [{ kind: 'edge', side, family, order } as const] };
    const model = modelOf(
      { shape, parameters: Float64Array.of(0, 0, Math.log(cornerHz)), halfTurns: 0 },
      frequencyHz,
    );
    frequencyHz.forEach((_, i) => {
      const size = Math.exp(model.lnMagnitude[i]);
      const truth = Math.hypot(real[i], imag[i]);
      // Below -120 dB scipy's own digital high-pass loses digits.
      if (truth < 1e-6) return;
      expect(Math.abs(size / truth - 1), `magnitude at ${frequencyHz[i]} Hz`).toBeLessThan(1e-5);
      const turn = Math.atan2(imag[i], real[i]) - model.phase[i];
      expect(Math.abs(Math.sin(turn / 2)), `phase at ${frequencyHz[i]} Hz`).toBeLessThan(1e-5);
    });
  },
);

test('peaks and shelves are those of the cookbook prototypes, analogue and digital', () => {
  for (const sampleRateHz of [null, 44_100]) {
    const cases = [
      { shape: { kind: 'peak' } as const, sections: peakingSections({ gainDb: 7, q: 1.7 }), q: 1.7 },
      { shape: { kind: 'shelf' } as const, sections: lowShelfSections({ gainDb: 7, q: 0.8 }), q: 0.8 },
    ];
    for (const { shape, sections, q } of cases) {
      const sums = termAt(shape, Float64Array.of(Math.log(3000), 7, Math.log(q)), sampleRateHz).sums;
      const exact = evaluateOnGrid(sections, { frequencyHz, cornerHz: 3000, sampleRateHz });
      frequencyHz.forEach((_, i) => {
        expect(sums.lnMagnitude[i]).toBeCloseTo(Math.log(Math.hypot(exact.real[i], exact.imag[i])), 9);
        expect(sums.phase[i]).toBeCloseTo(Math.atan2(exact.imag[i], exact.real[i]), 9);
      });
    }
  }
});

// The table's slopes are interpolated straight: good to a few thousandths, which only steers the fit.
test('derivatives by every parameter are those of finite differences', () => {
  const terms: [TermShape, Float64Array][] = [
    [{ kind: 'edge', side: 'low-pass', family: 'bessel', order: 3 }, Float64Array.of(Math.log(700))],
    [{ kind: 'edge', side: 'high-pass', family: 'linkwitz-riley', order: 8 }, Float64Array.of(Math.log(700))],
    [{ kind: 'peak' }, Float64Array.of(Math.log(900), -5, Math.log(2))],
    [{ kind: 'shelf' }, Float64Array.of(Math.log(200), 8, Math.log(0.6))],
  ];
  for (const [shape, parameters] of terms) {
    const { columns } = termAt(shape, parameters, 48_000);
    parameters.forEach((_, p) => {
      const step = 1e-5;
      const moved = (sign: number) =>
        termAt(
          shape,
          parameters.map((v, q) => (q === p ? v + sign * step : v)),
          48_000,
        ).sums;
      const [up, down] = [moved(1), moved(-1)];
      frequencyHz.forEach((_, i) => {
        expect(columns[p][i]).toBeCloseTo((up.lnMagnitude[i] - down.lnMagnitude[i]) / (2 * step), 2);
        expect(columns[p][frequencyHz.length + i]).toBeCloseTo((up.phase[i] - down.phase[i]) / (2 * step), 2);
      });
    });
  }
});

function termAt(shape: TermShape, parameters: Float64Array, sampleRateHz: number | null) {
  const count = frequencyHz.length;
  const sums = { lnMagnitude: new Float64Array(count), phase: new Float64Array(count) };
  const columns = Array.from(parameters, () => new Float64Array(2 * count));
  addTerm(shape, parameters, frequencyAxis(frequencyHz, sampleRateHz), sums, columns);
  return { sums, columns };
}
