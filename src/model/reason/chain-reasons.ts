import { z } from 'zod';

const setting = z.number();
const settings = z.array(setting);

/** Why there are no gains, what they hold under, and what limits the system. */
export const chainReasons = {
  'no setting is clean': { settings },
  'no clean setting known': {},
  /** `driveDbFs`: the loudest tone that stays clean whatever the volume. */
  'clips before the volume control': { driveDbFs: z.number() },
  'no bass at any output': { fromHz: z.number() },
  'bass not judged': { tapIds: z.array(z.string()) },
  'load below the lowest': { amplifier: z.string(), loadOhms: z.number(), lowestOhms: z.number() },
  /** What comes against what the first stage can be turned down to. */
  'too loud for the first stage': {
    stage: z.enum(['converter', 'amplifier']),
    volts: z.number(),
    atMostVolts: z.number(),
    padDb: z.number(),
  },
  'volts not known': {},
  'lowest load not noted': { amplifier: z.string(), loadOhms: z.number(), ratedOhms: z.number() },
  'rating not noted': { load: z.string() },
  'sensitivity at speaker level not noted': { amplifier: z.string() },
  'gain overlap left out': { load: z.string(), loadWatts: z.number(), amplifierWatts: z.number() },
  'amplifier not filled': { amplifier: z.string(), shortDb: z.number(), outputVolts: z.number() },
  'bass held by the limiter': {
    thresholdVolts: z.number().nullable(),
    fromSetting: setting.nullable(),
    outputVolts: z.number().nullable(),
    watts: z.number().nullable(),
    fullWatts: z.number().nullable(),
  },
  'tweeter not protected yet': { tapIds: z.array(z.string()), notBelowHz: z.number() },
  'cones move': { cm3: z.number(), count: z.number() },
  'bass is felt': {},
  'bass fills in': {},
  'travel ends below': { hz: z.number() },
  'high-pass counted in': { cornerHz: z.number() },
  'ported box': { tuningHz: z.number().nullable() },
  'box not known': {},
  'volume ends early': { setting, highestRecorded: setting },
  'restoration holds up to': { setting, mostDb: z.number() },
  'noise is high': { tapId: z.string(), belowFullOutputDb: z.number() },
  'least headroom clips first': {},
  'gains for': { outputs: z.array(z.string()) },
  'no gains until then': {},
  'full bass at high settings': {},
  'the amplifier’s full power': {},
  'the plan in full': {},
  'what the sheets list': {},
  'line volts assumed': { volts: z.number() },
  'converter hot': {},
  'converter at its top': {},
  'converter turned down': {},
  'watts into ohms': { watts: z.number(), ohms: z.number(), volts: z.number() },
  'gain before filters': {},
  'filter in the way': {
    type: z.enum(['high-pass', 'low-pass']),
    cornerHz: z.number(),
    toneHz: z.number(),
    leastDb: z.number(),
    mostDb: z.number(),
  },
  'speaker rating ends it': {},
  'gain overlap': { overlapDb: z.number() },
  'limiter holds low tones': { aboveDriveDbFs: z.number(), setting },
  'limiter holds this tone': {},
  'limiter holds every tone': {},
  /** The knob is set at a lower setting, where the limiter leaves the tone alone. */
  'tone below the limiter': { setting },
  'line level taken from the volts': { volts: z.number() },
} as const satisfies Record<string, z.ZodRawShape>;
