import { type Candidate, extraOffset } from './candidate.ts';
import { type EdgeShape, parameterCount, type TermShape } from './filter-terms.ts';

/** A model to be fitted, and where to start. */
export interface FitRequest {
  readonly low: EdgeShape | null;
  readonly high: EdgeShape | null;
  readonly extras: readonly TermShape[];
  readonly extraParameters: Float64Array;
  readonly rateHz: number | null;
  /** Whose edges the new ones replace. */
  readonly from: Candidate | null;
}

/** The model of a candidate, to be fitted again or with something changed. */
export function requestOf({ low, high, extras, fit }: Candidate): Omit<FitRequest, 'from'> {
  const extraParameters = fit.parameters.slice(extraOffset({ low, high }));
  return { low, high, extras, extraParameters, rateHz: fit.shape.sampleRateHz };
}

/** The same without one of its extras. */
export function requestWithout(candidate: Candidate, index: number): Omit<FitRequest, 'from'> {
  const request = requestOf(candidate);
  const sizes = request.extras.map(parameterCount);
  const at = sizes.slice(0, index).reduce((sum, size) => sum + size, 0);
  return {
    ...request,
    extras: request.extras.filter((_, i) => i !== index),
    extraParameters: request.extraParameters.filter((_, i) => i < at || i >= at + sizes[index]),
  };
}
