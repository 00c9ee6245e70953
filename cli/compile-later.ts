import { setFlagsFromString } from 'node:v8';

/** Node versions in which it was measured; another engine may call it otherwise, and would say so on the terminal. */
const MEASURED_VERSIONS = /^v(20|22|24)\./;
/** Bytecode that a function runs through before it is compiled for speed: 67,584 is the engine's own. */
const BUDGET_BYTES = 500_000;

/**
 * Has the engine compile only what runs long. An analysis lasts seconds and its hot loops are kernels: half of what would be
 * compiled never pays (`npm run bench`: a twelfth of the processor time). Threads that start later follow.
 */
export function compileLater(): void {
  if (MEASURED_VERSIONS.test(process.version)) setFlagsFromString(`--interrupt-budget=${BUDGET_BYTES}`);
}
