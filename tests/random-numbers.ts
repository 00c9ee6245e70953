/** Numbers in [0, 1) that are the same in every run: xorshift32 (Marsaglia 2003), for fuzzing and noise in tests. */
export function randomNumbers(seed: number): () => number {
  let state = seed | 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}
