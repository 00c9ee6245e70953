import { z } from 'zod';
import {
  cleanSettingsSchema,
  clippingSchema,
  railSchema,
  recorderClippingSchema,
} from './clipping-findings.ts';
import { findingBase } from './finding-base.ts';
import { measuredOrReasonSchema, measuredSchema, notMeasurableSchema } from './measured-schema.ts';
import { otherSourceSchema } from './other-source.ts';
import { reasonSchema } from './reason.ts';
import { engineSchema } from './session.ts';

/** Frequencies at which bass change is stated. */
export const BASS_FREQUENCIES_HZ = [40, 63, 80, 100] as const;

const base = findingBase;
const setting = z.number();

/** One value for each of BASS_FREQUENCIES_HZ, relative to the plateau settings; negative where bass is lost. */
const bassChangeAtSettingSchema = z.object({ setting, changeDb: z.array(measuredOrReasonSchema) });

/** `q` only for a shelf of order 2. */
const shelfSchema = z.object({ frequencyHz: z.number(), gainDb: z.number(), q: z.number().optional() });
/** `fromHz`: corner of the same filter at the plateau, null where it appears from nothing. */
const movingHighPassSchema = z.object({
  order: z.number(),
  fromHz: z.number().nullable(),
  cornerHz: z.number(),
});

const bassChangeSchema = z.object({
  ...base,
  kind: z.literal('bass-change'),
  verdict: z.enum(['falls with volume', 'steady', 'cannot be told']),
  /** Why it cannot be told; null otherwise. */
  reason: reasonSchema.nullable(),
  plateauSettings: z.array(setting),
  changes: z.array(bassChangeAtSettingSchema),
  /** The loss begins between two recorded settings: judged at `atHz`, where it first exceeds `thresholdDb`. */
  onset: z
    .object({
      lastIntact: setting,
      firstChanged: setting,
      midpoint: setting,
      atHz: z.number(),
      thresholdDb: z.number(),
    })
    .nullable(),
  shape: z
    .object({
      model: z.enum(['shelf', 'high-pass', 'shelf or high-pass']),
      perSetting: z.array(
        z.object({ setting, shelf: shelfSchema.nullable(), highPass: movingHighPassSchema.nullable() }),
      ),
      reason: reasonSchema,
    })
    .nullable(),
  /**
   * Set where nothing shows all of the loss: no plateau, or the tap's own upper bass for a middle. The changes are then
   * what is lost at least, and this the largest of them.
   */
  atLeast: z
    .object({ fromSetting: setting, toSetting: setting, atHz: z.number(), lossDb: measuredSchema })
    .optional(),
  /** Setting to record next to narrow the bracket; null where neighbours are adjacent. */
  recordNext: setting.nullable(),
});

/** Bass (and perhaps treble) lifted at low settings only. */
const loudnessContourSchema = z.object({
  ...base,
  kind: z.literal('loudness-contour'),
  changes: z.array(bassChangeAtSettingSchema),
  /** Highest setting that still shows the lift. */
  upToSetting: setting,
});

/** Bass that stops following the drive while the mid band still follows, with low distortion. */
const bassLimiterSchema = z.object({
  ...base,
  kind: z.literal('bass-limiter'),
  place: z.enum(['before the volume control', 'after the volume control', 'cannot be told']),
  perSetting: z.array(
    z.object({ setting, thresholdDriveDbFs: measuredOrReasonSchema, levelVoltsRms: measuredOrReasonSchema }),
  ),
});

const bandEdgeSchema = z.object({
  minus3Hz: measuredOrReasonSchema,
  minus6Hz: measuredOrReasonSchema,
  slopeDbPerOctave: z.union([z.number(), notMeasurableSchema]),
  filter: z.union([
    z.object({
      family: z.enum(['butterworth', 'linkwitz-riley', 'bessel']),
      order: z.number().int(),
      cornerHz: measuredSchema,
    }),
    notMeasurableSchema,
  ]),
});
export type BandEdge = z.infer<typeof bandEdgeSchema>;

const bandSchema = z.object({
  ...base,
  kind: z.literal('band'),
  verdict: z.enum(['full range', 'band-limited', 'cannot be told']),
  reason: reasonSchema.nullable(),
  /** Low edge (a high-pass) and high edge (a low-pass); null where the tap has none. */
  lowEdge: bandEdgeSchema.nullable(),
  highEdge: bandEdgeSchema.nullable(),
  /**
   * True where every tap falls at the low end alike, as the recorder's own coupling would make it, and no loop take says
   * whether it does.
   */
  lowEdgeMayBeRecorder: z.boolean().optional(),
  /** Fixed peaks and dips of the radio's own EQ as fitted, for those who want to undo it. */
  fixedEq: z.array(z.object({ frequencyHz: z.number(), gainDb: z.number(), q: z.number() })),
  /** Why there is none, where there may be; left out where it is known. */
  fixedEqReason: reasonSchema.optional(),
});

const crossoverSchema = z.object({
  ...base,
  kind: z.literal('crossover'),
  lowTapId: z.string(),
  highTapId: z.string(),
  frequencyHz: measuredSchema,
});

const routingSchema = z.object({
  ...base,
  kind: z.literal('routing'),
  /**
   * Programme left and programme right at this tap, relative to the stronger, mid of its trusted band; null where nothing of
   * it stands clear of the noise.
   */
  leftDb: z.number().nullable(),
  rightDb: z.number().nullable(),
  carries: z.enum(['left', 'right', 'left and right', 'difference', 'nothing']),
  agreesWithSession: z.boolean(),
});

const timingSchema = z.object({
  ...base,
  kind: z.literal('timing'),
  tapId: z.string(),
  referenceTapId: z.string(),
  /** Positive where the tap is later than the reference; what is left after the fitted minimum-phase filters. */
  delaySeconds: measuredOrReasonSchema,
  polarity: z.enum(['same', 'inverted', 'ambiguous']),
  reason: reasonSchema.nullable(),
});

const volumeLawSchema = z.object({
  ...base,
  kind: z.literal('volume-law'),
  /** Mid-band level (or in-band for a band-limited tap) for a 0 dBFS drive that does not clip. */
  levels: z.array(z.object({ setting, levelDbFs: z.number(), voltsRms: measuredOrReasonSchema })),
  /** Median decibels a step of one. */
  dbPerStep: z.number().nullable(),
  followsVolume: z.boolean(),
});

const linesSchema = z.array(z.object({ frequencyHz: z.number(), levelDbFs: z.number() }));

/** A tap while nothing loud plays and the engine is in a known state. */
const noiseTakeSchema = z.object({
  engine: engineSchema,
  /** As the dash showed it; null where it was not noted. */
  rpm: z.number().nullable(),
  /** Volume setting; null where it was not noted. */
  setting: setting.nullable(),
  levelDbFs: z.number(),
  levelVolts: measuredOrReasonSchema,
  lines: linesSchema,
});
export type NoiseTake = z.infer<typeof noiseTakeSchema>;

/** Lines of one origin, as the noise takes tell them apart. */
const lineOriginSchema = z.object({
  origin: z.enum(['mains', 'steady', 'alternator', 'engine sound']),
  /** Whether they were seen to move with the engine speed; null where one speed only was recorded. */
  moves: z.boolean().nullable(),
  atVolumeZero: z.boolean(),
  /** Lowest line of the comb in each state of the engine, and how many of its periods a revolution holds. */
  combs: z.array(
    z.object({
      engine: engineSchema,
      fundamentalHz: z.number(),
      perRevolution: z.number().nullable(),
      lines: linesSchema,
    }),
  ),
});
export type LineOrigin = z.infer<typeof lineOriginSchema>;

const noiseSchema = z.object({
  ...base,
  kind: z.literal('noise'),
  perSetting: z.array(
    z.object({
      setting,
      underQuietToneDbFs: z.number(),
      underQuietToneVolts: measuredOrReasonSchema,
      inSilenceDbFs: z.number(),
    }),
  ),
  lines: linesSchema,
  /** Mains frequency whose multiples the lines are, 50 or 60; null where they are not. */
  mainsHz: z.number().nullable(),
  mutesInSilence: z.boolean(),
  limitedBy: z.enum(['radio', 'recorder', 'not told']),
  /** Only where noise takes were recorded. */
  takes: z.array(noiseTakeSchema).optional(),
  origins: z.array(lineOriginSchema).optional(),
});

/** Every tap ends at the same frequency: the player or a lossy file, not a crossover. */
const commonCeilingSchema = z.object({
  ...base,
  kind: z.literal('common-ceiling'),
  ceilingHz: z.number(),
});

export const findingSchema = z.discriminatedUnion('kind', [
  bassChangeSchema,
  loudnessContourSchema,
  bassLimiterSchema,
  bandSchema,
  crossoverSchema,
  routingSchema,
  timingSchema,
  volumeLawSchema,
  clippingSchema,
  cleanSettingsSchema,
  recorderClippingSchema,
  railSchema,
  noiseSchema,
  commonCeilingSchema,
  otherSourceSchema,
]);
export type Finding = z.infer<typeof findingSchema>;
export type FindingOf<Kind extends Finding['kind']> = Extract<Finding, { kind: Kind }>;

export function findingsOf<Kind extends Finding['kind']>(
  findings: readonly Finding[],
  kind: Kind,
): FindingOf<Kind>[] {
  return findings.filter((finding): finding is FindingOf<Kind> => finding.kind === kind);
}
