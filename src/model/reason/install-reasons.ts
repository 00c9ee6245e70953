import { z } from 'zod';

const amps = z.number();

/** What to order and why; what stands at the supply wire, its fuses and its ground. */
export const installReasons = {
  'supply for the most': {},
  'fuse too large': { amps, atMostAmps: amps },
  'fuse too small': { amps, currentAmps: amps },
  'no fuse fits': { atMostAmps: amps, atLeastAmps: amps },
  'move the fuse': {},
  'fuses at the split': { branches: z.array(z.object({ amplifier: z.string(), fuseAmps: amps })) },
  'ground as thick': {},
  'ground wire': { mm2: z.number() },
  'clad wire': {},
  'charging system': {},
  'battery off': {},
  'ground to bare metal': {},
  'codes come first': {},
  'no output in use': {},
  'no load at line level': {},
  'keep a load': {},
  'too few inputs': { needed: z.number(), has: z.number() },
  'cannot add': {},
  'cannot delay': {},
  'too little restoration': { neededDb: z.number(), hasDb: z.number() },
  'loss not known yet': {},
  'inputs stand too little': { stands: z.number(), needed: z.number() },
  'straight into line inputs': {},
  'straight into speaker-level inputs': {},
  'the part given will do': { name: z.string() },
  'outputs are added': {},
  'outputs do not arrive together': {},
  'outputs are not equally strong': { trimDb: z.number() },
  'bass is missing': { db: z.number() },
  'speaker-level inputs if they stand it': {},
  'speaker-level inputs rated for': { volts: z.number() },
  'no amplifiers given': {},
} as const satisfies Record<string, z.ZodRawShape>;
