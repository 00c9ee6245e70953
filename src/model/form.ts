import { z } from 'zod';
import { wordHint } from './nearest-word.ts';

/** An object whose unknown fields are answered with the nearest right word. */
export function form<Shape extends z.ZodRawShape>(shape: Shape) {
  return z.strictObject(shape, {
    error: (issue) => {
      if (issue.code !== 'unrecognized_keys') return undefined;
      const written = String(issue.keys?.[0]);
      return wordHint({ written, words: Object.keys(shape) });
    },
  });
}
