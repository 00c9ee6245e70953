import { expect, it } from 'vitest';
import { ArrivalLag } from '../../report-template/job/sound/arrival-lag.ts';

const RATE_HZ = 48_000;
const FRAMES = 2048;
const BLOCK_SECONDS = FRAMES / RATE_HZ;

/** Blocks as they come on time, but for what a test adds to the clock. */
function listen(lag: ArrivalLag, from: number, to: number, lateSeconds: (block: number) => number): void {
  for (let block = from; block < to; block++)
    lag.add({ atSeconds: block * BLOCK_SECONDS + lateSeconds(block), frames: FRAMES });
}

it('A page that fetches blocks late has lost nothing.', () => {
  const lag = new ArrivalLag(RATE_HZ);
  listen(lag, 0, 200, (block) => (block % 20 === 0 ? 0 : 0.4 * ((block % 7) / 7)));
  expect(Math.abs(lag.seconds)).toBeLessThan(1e-9);
});

it('Sound that never came lags by as much as is missing, from then on.', () => {
  const lag = new ArrivalLag(RATE_HZ);
  listen(lag, 0, 100, () => 0);
  listen(lag, 100, 150, () => 0.3);
  expect(lag.seconds).toBeCloseTo(0.3, 9);
  const before = lag.seconds;
  listen(lag, 150, 400, () => 0.3);
  // A take that begins now has lost none of it.
  expect(lag.seconds - before).toBeCloseTo(0, 9);
});
