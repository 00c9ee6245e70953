import { z } from 'zod';
import { chainSupplySchema } from '../chain.ts';
import { turnOnSchema } from '../equipment.ts';
import { measuredOrReasonSchema } from '../measured-schema.ts';
import { reasonSchema } from '../reason.ts';
import { base, setting } from './base.ts';

export const turnOnAdviceSchema = z.object({
  ...base,
  kind: z.literal('turn-on'),
  use: turnOnSchema,
  quietestSetting: setting.nullable(),
  quietestVoltsRms: measuredOrReasonSchema,
  thresholdVolts: z.number().nullable(),
});

export const groundingSchema = z.object({
  ...base,
  kind: z.literal('grounding'),
  noise: z.enum([
    'hiss',
    'mains hum',
    'alternator',
    'engine-related tones',
    'lines of unknown origin',
    'recorder',
  ]),
  tapIds: z.array(z.string()),
  advice: z.array(z.string()),
});

export const supplySchema = z.object({
  ...base,
  kind: z.literal('supply'),
  currentAmps: z.number(),
  supplyVolts: z.number(),
  wire: z
    .object({
      mm2: z.number(),
      nearestAwg: z.number(),
      dropVolts: z.number(),
      dropPercent: z.number(),
      lossWatts: z.number(),
      verdict: z.enum(['enough', 'too thin']),
    })
    .nullable(),
  /** Thinnest standard wire that keeps the drop, copper and copper-clad; null without a length. */
  thinnest: z
    .object({ copperMm2: z.number(), copperAwg: z.number(), cladMm2: z.number(), cladAwg: z.number() })
    .nullable(),
  /** The most for the wire; null where no wire is given. */
  fuseAmps: z.number().nullable(),
  /** The figures of the solved chain that every sheet prints; absent from older files. */
  figures: chainSupplySchema.optional(),
  cautions: z.array(reasonSchema),
});

export const recordNextSchema = z.object({
  ...base,
  kind: z.literal('record-next'),
  what: z.string(),
  tapIds: z.array(z.string()),
  settings: z.array(setting),
  /** Whether gains or wiring must wait for it. */
  blocks: z.boolean(),
});

export const cannotBeDoneSchema = z.object({
  ...base,
  kind: z.literal('cannot-be-done'),
  wanted: reasonSchema,
  bindingLimit: reasonSchema,
  nearest: reasonSchema,
  otherClass: reasonSchema.nullable(),
});

/** One short take that shows, years later, that the radio is still the same. */
export const confirmSchema = z.object({
  ...base,
  kind: z.literal('confirm'),
  tapId: z.string(),
  setting,
  toneHz: z.number(),
  voltsRms: measuredOrReasonSchema,
  withinDb: z.number(),
});
