/**
 * Exact 95 % interval of a rate from `hits` in `count` cases: each end leaves 2.5 % beyond it.
 * Source: Clopper and Pearson, Biometrika 26 (1934); held against scipy.
 */
export function clopperPearson({ hits, count }: { hits: number; count: number }): [number, number] {
  return [
    hits === 0 ? 0 : rateAt((rate) => atLeast({ hits, count, rate }) > 0.025),
    upperEnd({ hits, count, tail: 0.025 }),
  ];
}

/** Highest rate that the cases still allow with 95 % confidence, by the same: for no hits it is the rule of three, 3 / count. */
export function atMost({ hits, count }: { hits: number; count: number }): number {
  return count === 0 ? 1 : upperEnd({ hits, count, tail: 0.05 });
}

function upperEnd({ hits, count, tail }: { hits: number; count: number; tail: number }): number {
  return hits === count ? 1 : rateAt((rate) => atLeast({ hits: hits + 1, count, rate }) > 1 - tail);
}

/** Lowest rate that meets a condition which every higher one meets too. */
function rateAt(met: (rate: number) => boolean): number {
  let [low, high] = [0, 1];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (met(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** Probability of at least `hits` in `count` at a rate. */
function atLeast({ hits, count, rate }: { hits: number; count: number; rate: number }): number {
  let below = 0;
  let lnChoose = 0;
  for (let k = 0; k < hits; k++) {
    below += Math.exp(lnChoose + k * Math.log(rate) + (count - k) * Math.log1p(-rate));
    lnChoose += Math.log((count - k) / (k + 1));
  }
  return 1 - below;
}
