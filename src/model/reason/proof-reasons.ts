import { z } from 'zod';

const node = z.enum(['converter output', 'amplifier output']);
const filter = z.enum(['high-pass', 'low-pass']);
const carries = z.enum(['left', 'right', 'left and right', 'difference', 'nothing']);
const wanted = z.enum(['left', 'right', 'both']);
const setting = z.number();

/** What was found when an install was held against its plan and, where it fails, what to turn. */
export const proofReasons = {
  'nothing of the feed is heard': {},
  'carries what was planned': { carries },
  'carries something else': { carries, wanted },
  'tap reaches the converter inverted': { tapId: z.string() },
  'tap is missing from the sum': { tapId: z.string() },
  'plan has no target volts': { node },
  'level not told without volts': {},
  'level against the target': { db: z.number(), withinDb: z.number() },
  /** `until` is what the meter reads when it is right; null where the plan has no target there. */
  'level off the target': {
    db: z.number(),
    knob: z.enum(['converter level', 'amplifier gain']),
    tooHighDb: z.number(),
    until: z
      .object({
        tone: z.string(),
        setting,
        restoration: z.enum(['on', 'off', 'none']),
        volts: z.number(),
      })
      .nullable(),
  },
  'restoration and gain look alike': {},
  'restoration gives': { db: z.number(), ofDb: z.number(), fault: z.enum(['none', 'off', 'turn']) },
  'filter is off': { filter, cornerHz: z.number() },
  'filter stands at': { filter, cornerHz: z.number() },
  'filter is off its corner': { filter, cornerHz: z.number(), wantedHz: z.number() },
  'bass against the plan': { setting, db: z.number(), hz: z.number() },
  'flatness against the plan': { fromHz: z.number(), setting, db: z.number(), hz: z.number() },
  'polarity needs a reference': {},
  'polarity lies between': {},
  'polarity as planned': {},
  'every feed is inverted alike': {},
  'polarity is wrong': { inverted: z.boolean(), node },
  'right level against left': { db: z.number(), passes: z.boolean() },
  /** `output` where it is more than planned. */
  'right arrival against left': { microseconds: z.number(), output: z.string().nullable() },
  'clipping needs the full track': {},
  'clean up to the planned drive': {},
  /** `plannedVolts` where supply or load may be at fault. */
  'clips too early': {
    toneHz: z.number(),
    driveDbFs: z.number(),
    setting,
    voltsRms: z.number().nullable(),
    knob: z.enum(['converter level', 'amplifier gain']),
    earlyDb: z.number(),
    plannedVolts: z.number().nullable(),
  },
  'noise needs the full track': {},
  'noise volts are not known': {},
  'noise is explained': { voltsRms: z.number(), node, setting },
  'noise without a plan': { voltsRms: z.number(), node, setting },
  /** `overDb` against what radio and parts explain, null where nothing does; `linesHz` empty for hiss. */
  'noise is too much': {
    voltsRms: z.number(),
    node,
    setting,
    overDb: z.number().nullable(),
    belowFullDb: z.number().nullable(),
    linesHz: z.array(z.number()),
  },
} as const satisfies Record<string, z.ZodRawShape>;
