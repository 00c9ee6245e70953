import { z } from 'zod';
import { feedSchema, orderSchema, restorationSchema } from './recommendation/feeds.ts';
import {
  cannotBeDoneSchema,
  confirmSchema,
  groundingSchema,
  recordNextSchema,
  supplySchema,
  turnOnAdviceSchema,
} from './recommendation/installation.ts';
import {
  amplifierGainSchema,
  converterLevelSchema,
  gainStructureSchema,
  highestCleanSettingSchema,
  padSchema,
} from './recommendation/levels.ts';
import { protectionSchema, radioSoundsSchema } from './recommendation/protection.ts';
import {
  balanceSchema,
  bassReachSchema,
  delaySchema,
  equalizerSchema,
  filterSchema,
  seatSchema,
  subwooferLawSchema,
} from './recommendation/tuning.ts';

export type { FeedTap, Flatness } from './recommendation/feeds.ts';
export type { Target } from './recommendation/levels.ts';

/** One thing to do about the findings. */
export const recommendationSchema = z.discriminatedUnion('kind', [
  orderSchema,
  feedSchema,
  restorationSchema,
  highestCleanSettingSchema,
  converterLevelSchema,
  amplifierGainSchema,
  gainStructureSchema,
  padSchema,
  protectionSchema,
  radioSoundsSchema,
  filterSchema,
  equalizerSchema,
  delaySchema,
  balanceSchema,
  subwooferLawSchema,
  bassReachSchema,
  seatSchema,
  turnOnAdviceSchema,
  groundingSchema,
  supplySchema,
  recordNextSchema,
  cannotBeDoneSchema,
  confirmSchema,
]);
export type Recommendation = z.infer<typeof recommendationSchema>;
export type RecommendationOf<Kind extends Recommendation['kind']> = Extract<Recommendation, { kind: Kind }>;
/** The same before its place among the others is known. */
export type AdviceOf<Kind extends Recommendation['kind']> = Kind extends unknown
  ? Omit<RecommendationOf<Kind>, 'order'>
  : never;

export function recommendationsOf<Kind extends Recommendation['kind']>(
  recommendations: readonly Recommendation[],
  kind: Kind,
): RecommendationOf<Kind>[] {
  return recommendations.filter((item): item is RecommendationOf<Kind> => item.kind === kind);
}
