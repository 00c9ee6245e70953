import { z } from 'zod';

/**
 * A measured number with its uncertainty. The unit stands in the name of the field that holds it.
 * `plusMinus` covers the true value in 95 of 100 cases (coverage factor 2, common practice).
 */
export const measuredSchema = z.object({ value: z.number(), plusMinus: z.number() });
export type Measured = z.infer<typeof measuredSchema>;

/** The answer where the recordings do not carry the quantity: a reason in plain words and, where one helps, what to record. */
export const notMeasurableSchema = z.object({
  notMeasurable: z.string(),
  recordNext: z.string().optional(),
});
export type NotMeasurable = z.infer<typeof notMeasurableSchema>;

/** A measured number, or why there is none. */
export const measuredOrReasonSchema = z.union([measuredSchema, notMeasurableSchema]);
export type MeasuredOrReason = z.infer<typeof measuredOrReasonSchema>;

export function isNotMeasurable(answer: object): answer is NotMeasurable {
  return 'notMeasurable' in answer;
}

export function measured({ value, plusMinus }: Measured): Measured {
  return { value, plusMinus };
}

export function notMeasurable(reason: string, recordNext?: string): NotMeasurable {
  return recordNext === undefined ? { notMeasurable: reason } : { notMeasurable: reason, recordNext };
}
