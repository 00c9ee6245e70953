import { z } from 'zod';

const driveDbFs = z.number();
const volts = { clipVoltsPeak: z.number(), leastVolts: z.number(), mostVolts: z.number() };

/** Why a tone's clipping is not told, and what an output's rail asks. */
export const clippingReasons = {
  'recorder clipped at every step': {},
  'other sounds cover the quiet steps': {},
  'tone far down at this tap': {},
  'tone cancelled at this tap': {},
  'level held by clip or limiter': { driveDbFs },
  'none seen, noise would hide one': { driveDbFs },
  'none seen, recorder clipped above': { driveDbFs },
  'none seen': { driveDbFs },
  'boosted supply, or calibration too high': volts,
  'one leg noted, pair recorded': volts,
  'one leg instead of the pair': volts,
  'limiter, or pad entered wrong': volts,
  'recording not calibrated': {},
  'quieter than the recorder': {},
} as const satisfies Record<string, z.ZodRawShape>;
