import { z } from 'zod';
import { reasonSchema } from './reason.ts';

/**
 * A measured number with its uncertainty. The unit stands in the name of the field that holds it.
 * `plusMinus` covers the true value in 95 of 100 cases (coverage factor 2, common practice).
 */
export const measuredSchema = z.object({ value: z.number(), plusMinus: z.number() });

/** The answer where the recordings do not carry the quantity: why and, where it helps, what to record. */
export const notMeasurableSchema = z.object({
  notMeasurable: reasonSchema,
  recordNext: reasonSchema.optional(),
});

/** A measured number, or why there is none. */
export const measuredOrReasonSchema = z.union([measuredSchema, notMeasurableSchema]);
