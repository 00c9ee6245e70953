import { z } from 'zod';
import { equipmentSchema } from '../model/equipment.ts';
import { form } from '../model/form.ts';
import { MOST_TAPS } from '../model/session-input.ts';
import { MOST_SETTINGS, parseSettings } from '../model/setting-range.ts';
import { filesSchema, recorderSchema, simulatedCalibrationSchema } from './simulated-recorder.ts';
import { simulatedTapSchema } from './simulated-tap.ts';

const settingsSchema = z.union([
  z.array(z.number()).min(1).max(MOST_SETTINGS),
  z.string().transform((text) => parseSettings({ text, where: 'settings' })),
]);

/**
 * A factory radio with everything declared that the tool is to find out, the person who records it, and the recorder.
 *
 * The signal of a tap, in this order: decoder (16-bit track) -> routing of left and right -> clip before -> limiter before
 * -> volume control -> fixed EQ -> EQ that depends on the volume setting -> crossover and all-pass -> delay and polarity
 * -> limiter after -> rail clip -> muting, hiss, lines and announcements -> one leg or the pair -> pad -> recorder
 * (coupling, input clip, own noise, knocks, automatic gain, full scale, clock, bits).
 */
const scenarioForm = form({
  name: z.string().default('Simulated factory outputs'),
  seed: z.int().default(1),
  track: z.enum(['full', 'response only']).default('full'),
  playerRateHz: z.union([z.literal(44_100), z.literal(48_000)]).default(48_000),
  settings: settingsSchema,
  taps: z.array(simulatedTapSchema).min(1).max(MOST_TAPS),
  recorder: recorderSchema.prefault({}),
  files: filesSchema.prefault({}),
  calibration: simulatedCalibrationSchema.default({ kind: 'pad' }),
  supply: form({ volts: z.number().positive(), engineRunning: z.boolean().default(false) })
    .nullable()
    .default(null),
  source: z.string().default('USB stick'),
  equipment: equipmentSchema.nullable().default(null),
  notes: z.array(z.string()).default([]),
});

/** `everyTap` holds what all taps share; a tap's own fields win. */
export const scenarioSchema = z.preprocess(withSharedFields, scenarioForm);
export type Scenario = z.output<typeof scenarioSchema>;

/** As people write it: only `settings` and `taps` (id, side, volume) are needed. */
export type ScenarioInput = Partial<Omit<Input<typeof scenarioForm>, 'taps' | 'settings'>> & {
  readonly settings: readonly number[] | string;
  readonly taps: readonly TapInput[];
  readonly everyTap?: TapInput;
};
export type TapInput = Partial<Input<typeof simulatedTapSchema>>;

/** Fixed tables are as welcome as others. */
type Input<Schema extends z.ZodType> = DeepReadonly<z.input<Schema>>;
type DeepReadonly<Value> = Value extends object
  ? { readonly [Key in keyof Value]: DeepReadonly<Value[Key]> }
  : Value;

function withSharedFields(input: unknown): unknown {
  if (!isGroup(input) || !isGroup(input.everyTap) || !Array.isArray(input.taps)) return input;
  const { everyTap, ...rest } = input;
  return { ...rest, taps: input.taps.map((tap) => (isGroup(tap) ? { ...everyTap, ...tap } : tap)) };
}

function isGroup(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
