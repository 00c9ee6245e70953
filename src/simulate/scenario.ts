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
  name: z
    .string()
    .default('Simulated factory outputs')
    .describe('Title of the session. Default: Simulated factory outputs.'),
  seed: z
    .int()
    .default(1)
    .describe('Begins the random numbers: the same seed gives the same recordings. Default: 1.'),
  track: z
    .enum(['full', 'response only'])
    .default('full')
    .describe('The track that is played. Default: full.'),
  playerRateHz: z
    .union([z.literal(44_100), z.literal(48_000)])
    .default(48_000)
    .describe('Sample rate of the test files, Hz. Default: 48000.'),
  settings: settingsSchema.describe('Volume settings that are recorded: 10-38/4 or a list.'),
  taps: z.array(simulatedTapSchema).min(1).max(MOST_TAPS).describe('The outputs.'),
  recorder: recorderSchema.prefault({}).describe('The recorder, its pad and what goes wrong with it.'),
  files: filesSchema.prefault({}).describe('How the takes are spread over files.'),
  calibration: simulatedCalibrationSchema
    .default({ kind: 'pad' })
    .describe(
      'pad: pad and recorder, or the ratio that somebody wrote down; tone: a 100 Hz meter tone with its volts; none. Default: pad.',
    ),
  supply: form({
    volts: z.number().positive().describe('Volts at the radio.'),
    engineRunning: z.boolean().default(false).describe('Whether the engine runs. Default: false.'),
  })
    .nullable()
    .default(null)
    .describe('Supply that the session states: volts, engineRunning. Default: not stated.'),
  source: z.string().default('USB stick').describe('What plays the track. Default: USB stick.'),
  equipment: equipmentSchema
    .nullable()
    .default(null)
    .describe('Parts that the session lists. Default: none.'),
  notes: z.array(z.string()).default([]).describe('Notes of the session. Default: none.'),
});

/** `everyTap` holds what all taps share; a tap's own fields win. */
export const scenarioSchema = z.preprocess(withSharedFields, scenarioForm);
export type Scenario = z.output<typeof scenarioSchema>;

/** As a file holds it before `everyTap` is given to each output: what `steptone schema` prints. */
export const scenarioFileSchema = scenarioForm.extend({
  taps: z
    .array(simulatedTapSchema.partial().required({ id: true }))
    .min(1)
    .max(MOST_TAPS)
    .describe('The outputs; each needs id, side and volume, here or in everyTap.'),
  everyTap: simulatedTapSchema.partial().optional().describe('Fields that all outputs share. Default: none.'),
});

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
