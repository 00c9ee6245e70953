import * as noise from './noise.ts';
import * as samples from './samples.ts';
import * as search from './search.ts';
import * as sweep from './sweep.ts';
import * as tones from './tones.ts';
import * as transform from './transform.ts';

/** All kernels as plain loops: what each does, in words, stands beside its like in `source/*.c`. Arrays are overwritten in place. */
export const plainKernels = { ...transform, ...sweep, ...samples, ...tones, ...search, ...noise };
