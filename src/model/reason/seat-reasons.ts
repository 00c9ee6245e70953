import { z } from 'zod';

const hz = z.number();
const seconds = z.number();
const db = z.number();

/** Time, level and polarity between the feeds, at the outputs and at the seat. */
export const seatReasons = {
  'rears fill in late': { bySeconds: seconds },
  'what is late stays': { lateFeed: z.string(), bySeconds: seconds },
  'distances are counted in': {},
  'distances are not known': {},
  'nothing here can delay': { name: z.string() },
  'delay ends before it is enough': { name: z.string(), mostSeconds: seconds },
  'a part that delays would do it': { seconds },
  'not worth a part that delays': { seconds },
  'use outputs that agree': { tapIds: z.array(z.string()) },
  'first null of the delay': { hz },
  'a low-pass is late by itself': { cornerHz: hz, seconds },
  'rears start lower and late': { levelDb: db, fromSeconds: seconds, toSeconds: seconds },
  'rears as a second front': {},
  'subwoofer is turned at the seat': {},
  'centre carries its own sound': { tapId: z.string() },
  'centre ends within the band': { fromHz: hz.nullable(), toHz: hz.nullable() },
  'no centre output': {},
  'left plus right is no centre': {},
  'fuller as it is': { polarity: z.enum(['as wired', 'inverted']) },
  'both polarities alike': {},
  'set the level first': {},
  'takes leave it open': {},
  'a quarter turn apart': { lostDb: db, seconds },
  'trim the subwoofer': { trimDb: db, cornerHz: hz },
  'takes do not fit together': {},
  'too unequal for a phase': {},
  'something changed between the takes': {},
  'repeat without moving anything': {},
} as const satisfies Record<string, z.ZodRawShape>;
