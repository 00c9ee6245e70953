import { z } from 'zod';

const hz = z.number();
const tapIds = z.array(z.string());

/** What protects small drivers, and what the radio's own sounds ask for. */
export const protectionReasons = {
  'small driver loses the radio’s filter': { tapIds, cornerHz: hz, slopeDbPerOctave: z.number().nullable() },
  'nothing keeps bass from the tweeter': { name: z.string() },
  'passive crossover takes the channel': { name: z.string() },
  'capacitor is a last protection': { microfarads: z.number(), ohms: z.number(), cornerHz: hz },
  'tweeter on a channel of its own': {
    notBelowHz: hz,
    leastSlopeDbPerOctave: z.number(),
    slopeDbPerOctave: z.number(),
    gainToneHz: hz,
  },
  'or a set with a passive crossover': {},
  'or the small driver stays with the radio': { tapIds },
  'factory tweeter loses its feed': { tapIds },
  'how are the speakers wired': {},
  'parallel speakers load the channel': { ohms: z.number() },
  /** The tones are absent from older files. */
  'connect tweeters last': { cornerHz: hz, lowHz: hz.optional(), highHz: hz.optional() },
  'announcements are heard on': { tapIds },
  'announcements on outputs in use': { tapIds },
  'feed from an output without them': { tapId: z.string(), byTapId: z.string() },
  'they become louder': { tapIds },
  'engine sound on outputs': { tapIds },
  'settle engine sound first': {},
} as const satisfies Record<string, z.ZodRawShape>;
