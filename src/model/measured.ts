import type { z } from 'zod';
import type { measuredOrReasonSchema, measuredSchema, notMeasurableSchema } from './measured-schema.ts';
import type { Reason } from './reason.ts';

export type Measured = z.infer<typeof measuredSchema>;
export type NotMeasurable = z.infer<typeof notMeasurableSchema>;
export type MeasuredOrReason = z.infer<typeof measuredOrReasonSchema>;

export function isNotMeasurable(answer: object): answer is NotMeasurable {
  return 'notMeasurable' in answer;
}

export function measured({ value, plusMinus }: Measured): Measured {
  return { value, plusMinus };
}

export function notMeasurable(reason: Reason, recordNext?: Reason): NotMeasurable {
  return recordNext === undefined ? { notMeasurable: reason } : { notMeasurable: reason, recordNext };
}
