import { z } from 'zod';
import { form } from './form.ts';

const positive = z.number().positive();

/** How door and tweeter of one place hang on their wires. */
export const speakerWiringSchema = z.enum(['passive crossover', 'separate', 'parallel', 'unknown']);

export const tweeterSchema = form({
  name: z.string().default('tweeter').describe('What the sheets call it. Default: tweeter.'),
  ohms: positive.default(4).describe('Its impedance, ohms. Default: 4.'),
  ratedWatts: positive.optional().describe('Power rating, watts. Default: not checked.'),
  crossover: z
    .enum(['passive', 'capacitor', 'none', 'unknown'])
    .default('unknown')
    .describe(
      'What protects it: a passive crossover, a series capacitor, or nothing. Default: unknown; the plan then asks.',
    ),
  microfarads: positive
    .optional()
    .describe('The capacitor in series with it, microfarads. Default: not known.'),
});
