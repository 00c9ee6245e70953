import { SteptoneError } from '../src/model/errors.ts';

/** The error for users that `work` throws; a test that expects one fails where it throws nothing, or a fault of the tool. */
export function thrown(work: () => unknown): SteptoneError {
  try {
    work();
  } catch (error) {
    if (error instanceof SteptoneError) return error;
    throw error;
  }
  throw new Error('nothing was thrown');
}
