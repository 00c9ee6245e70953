import { z } from 'zod';

/** An object with a reason; older results files have a sentence there, under the name `text`. */
export function withReason<Shape extends z.ZodRawShape>(shape: Shape) {
  return z.preprocess((value) => {
    if (typeof value !== 'object' || value === null || !('text' in value)) return value;
    const { text, ...rest } = value;
    return { reason: text, ...rest };
  }, z.object(shape));
}
