import { z } from 'zod';

const hz = z.number();

/** Why a filter is set where it is, or left open, and how the subwoofer starts. */
export const filterReasons = {
  'bass is the subwoofer’s': { cornerHz: hz },
  'above it the subwoofer is heard from behind': { cornerHz: hz },
  'meet at one corner, check at the seat': {},
  'the radio filters there already': { cornerHz: hz, slopeDbPerOctave: z.number().nullable() },
  'a second filter costs': {
    atHz: hz,
    aloneDb: z.number(),
    withSecondDb: z.number(),
    secondHz: hz,
    secondSlopeDbPerOctave: z.number(),
  },
  'cones run out of travel': { belowHz: hz },
  'cones play, not at full output': { fromHz: hz, toHz: hz },
  'hand-over adds': {
    atHz: hz,
    asWiredLeastDb: z.number(),
    asWiredMostDb: z.number(),
    invertedLeastDb: z.number(),
    invertedMostDb: z.number(),
  },
  'start with the subwoofer': { polarity: z.enum(['as wired', 'inverted']) },
  'the seat decides the polarity': {},
  'radio’s own turn not known': {},
  'part has no such filter': { name: z.string(), type: z.enum(['high-pass', 'low-pass']) },
  'part reaches': { name: z.string(), fromHz: hz, toHz: hz },
  'radio EQ undone': { mostBoostDb: z.number() },
  'boost costs headroom': { db: z.number() },
} as const satisfies Record<string, z.ZodRawShape>;
