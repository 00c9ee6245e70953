import { z } from 'zod';

const tapId = z.string();
const tapIds = z.array(z.string());
const db = z.number();

/** Why a feed is made of these taps, what is lost with it, and why others were not taken. */
export const feedReasons = {
  'the centre alone': { tapId },
  'full range, used alone': { tapId },
  'the most even alone': { tapId },
  'the only output there': { tapId },
  'a further tap adds its own phase': {},
  'the radio turns this tap': { tapId },
  'taps carry the band together': { tapIds },
  'crossed, or they cancel': { tapIds },
  'delayed to add': { tapId, delaySeconds: z.number() },
  'a dip remains': { dipDb: db },
  'own subwoofer output': { tapIds },
  'subwoofer output loses more bass': {},
  'subwoofer output is never clean': {},
  'subwoofer output keeps its level': {},
  'no subwoofer output': {},
  'taps reach deepest': { tapIds },
  'front-to-rear fade is lost': {},
  'fed from another place': {},
  'subwoofer fades with a place': { place: z.string() },
  'the taps cancel': { dipDb: db },
  'part of the band is missing': {},
  'less even': { byDb: db },
  'more taps for nothing': {},
  'sides would differ': {},
  'no better and more to set': {},
  'record taps together': { tapIds, setting: z.number() },
  'subwoofer output keeps with the others': {},
  'subwoofer output falls behind': {},
  'subwoofer output runs ahead': {},
} as const satisfies Record<string, z.ZodRawShape>;
