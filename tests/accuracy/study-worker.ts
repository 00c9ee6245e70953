import { runSystem } from './run-system.ts';

/** A process of the study: takes seeds from its parent, one at a time, and sends outcomes back. */
process.on('message', (seed: number) => {
  process.send?.(runSystem(seed, { keepInMemory: false }));
});
process.on('disconnect', () => process.exit());
