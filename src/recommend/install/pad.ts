import { isNotMeasurable, type MeasuredOrReason } from '../../model/measured.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { findingsAbout, idsOf, type PlanContext } from '../plan-context.ts';
import { padFor } from './pad-resistors.ts';

export type Pad = AdviceOf<'pad'>;

/** A pad in front of the converter's inputs where the most that the outputs give would overdrive them; null where none is needed or fits. */
export function inputPad(
  context: PlanContext,
  { rating }: { readonly rating: MeasuredOrReason },
  tapIds: readonly string[],
): Pad | null {
  const converter = context.equipment?.converter ?? null;
  if (converter === null || isNotMeasurable(rating) || rating.value <= converter.inputLimitVoltsRms)
    return null;
  const found = padFor({
    inputVolts: rating.value,
    outputVolts: converter.inputLimitVoltsRms,
    loadOhms: converter.inputOhms,
  });
  if (found === null) return null;
  return {
    kind: 'pad',
    id: 'pad',
    restsOn: idsOf([
      ...findingsAbout(context, 'clipping', tapIds),
      ...findingsAbout(context, 'clean-settings', tapIds),
      ...findingsAbout(context, 'volume-law', tapIds),
      ...findingsAbout(context, 'rail', tapIds),
    ]),
    reasons: [
      { code: 'inputs stand too little', stands: converter.inputLimitVoltsRms, needed: rating.value },
      { code: 'one pad for each input' },
    ],
    tapIds: [...tapIds],
    ...found,
  };
}
