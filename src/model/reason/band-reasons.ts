import { z } from 'zod';

const side = z.enum(['low', 'high']);
const filter = z.object({ family: z.enum(['butterworth', 'linkwitz-riley', 'bessel']), order: z.number() });

/** Why a tap's band, its ends or its filters are not told. */
export const bandReasons = {
  'tap carries no programme': {},
  'nothing clear of the noise': {},
  'band clear of the noise too narrow': {},
  /** One or both ends of the band; `endHz`: where the noise covers it, and `fallDb`: what is lost there by then. */
  'ends in doubt': {
    ends: z.array(
      z.discriminatedUnion('why', [
        z.object({ side, why: z.literal('noise'), endHz: z.number() }),
        z.object({ side, why: z.literal('filter or EQ') }),
        z.object({ side, why: z.literal('no filter explains it'), fallDb: z.number() }),
      ]),
    ),
  },
  'filter and EQ not told apart': {},
  'filter or EQ makes the fall': {},
  'no filter explains the response': {},
  'no such fall in the band': { dropDb: z.number() },
  'points lie far apart': {},
  'pass band not level enough for the point': {},
  'too much noise for the slope': {},
  'no filter follows the edge': { misfitDb: z.number() },
  'slopes fit alike': { slopesDbPerOctave: z.array(z.number()) },
  'filters fit alike': { filters: z.array(filter) },
  'EQ around the corner': {},
  'EQ not told from the fit': {},
} as const satisfies Record<string, z.ZodRawShape>;
