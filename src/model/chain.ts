import { z } from 'zod';
import { outputSchema } from './equipment.ts';
import { measuredOrReasonSchema } from './measured-schema.ts';
import { reasonSchema } from './reason.ts';
import { feedTapSchema } from './recommendation/feeds.ts';

/**
 * The whole chain of this car, node by node, from the player to the cone, solved once for all its limits together. Sheets,
 * drawing, proof and later plans read this value; none of them works out a figure of the system by itself.
 *
 * Volts are RMS for a full-scale sine (0 dBFS) on both sides alike at `volume.setting`, at the feed's `worstHz`.
 */
const setting = z.number();

const eqBandSchema = z.object({
  shape: z.enum(['peak', 'low shelf', 'high shelf']),
  frequencyHz: z.number(),
  gainDb: z.number(),
  q: z.number(),
});

/** One factory output as the chain meets it. */
const chainTapSchema = z.object({
  tapId: z.string(),
  side: z.enum(['left', 'right', 'both']),
  position: z.string(),
  inUse: z.boolean(),
  /** `levelAssumed`: nobody noted it; taken from its load and its volts. */
  level: z.enum(['speaker', 'line']),
  levelAssumed: z.boolean(),
  /** As noted in the bay; null where nobody did. */
  plus: z.string().nullable(),
  minus: z.string().nullable(),
  connector: z.string().nullable(),
  /** What the radio's own crossovers and high-passes leave, -3 dB points; null at an end that is open or not told. */
  bandHz: z.tuple([z.number().nullable(), z.number().nullable()]),
  /** At the frequency at which this output is strongest. */
  voltsRms: measuredOrReasonSchema,
  /** The most that it can give: its rail at the highest supply; null where no rail was seen. */
  mostVoltsPeak: z.number().nullable(),
  /** A full-scale tone at the loudest setting recorded, clipped or not; null where volts are not known. */
  loudestVoltsRms: z.number().nullable(),
  limiter: z
    .object({ thresholdDriveDbFs: z.number(), heldVoltsRms: z.number().nullable(), setting })
    .nullable(),
  noiseVoltsRms: z.number().nullable(),
});
export type ChainTap = z.infer<typeof chainTapSchema>;

const NODE_KINDS = [
  'output',
  'sum',
  'pad',
  'converter input',
  'restoration',
  'converter output',
  'amplifier input',
  'amplifier output',
  'load',
] as const;

/** One place of the chain: what comes in, what it stands, what its knob is turned to. */
const chainNodeSchema = z.object({
  kind: z.enum(NODE_KINDS),
  voltsRms: measuredOrReasonSchema,
  /** What it stands or can give; null where it has no limit or nobody knows it. */
  limitVoltsRms: z.number().nullable(),
  /** Negative where the limit is passed. */
  headroomDb: z.number().nullable(),
  /** What is turned here and how far it can go, in the knob's own unit. */
  knob: z
    .object({
      kind: z.enum(['converter level', 'amplifier gain']),
      unit: z.enum(['dB', 'V for full output']),
      range: z.tuple([z.number(), z.number()]).nullable(),
      setTo: z.number(),
      /** What a meter reads at this node when the knob is right. */
      reading: z.object({
        toneHz: z.number(),
        driveDbFs: z.number(),
        setting,
        restoration: z.enum(['off', 'none']),
        voltsRms: measuredOrReasonSchema,
        tolerancePercent: z.number(),
      }),
    })
    .nullable(),
});
export type ChainNode = z.infer<typeof chainNodeSchema>;

export const BINDING_LIMITS = [
  'nothing',
  'the radio',
  'converter input',
  'converter output',
  'converter gain at its top',
  'converter gain at its bottom',
  'amplifier power',
  'amplifier gain at its top',
  'amplifier gain at its bottom',
  'load rating',
] as const;

const chainFilterSchema = z.object({
  type: z.enum(['high-pass', 'low-pass']),
  /** `open`: the radio's own filter does it; the amplifier's stays out. */
  state: z.enum(['set', 'open']),
  cornerHz: z.number(),
  slopeDbPerOctave: z.number(),
  /** Where the part cannot be set to it. */
  shortfall: reasonSchema.nullable(),
});

const chainLoadSchema = z.object({
  name: z.string(),
  count: z.number().int(),
  ohms: z.number(),
  /** All of `count` together; null where nobody noted a rating. */
  ratedWatts: z.number().nullable(),
  factory: z.boolean(),
});

/** Everything from the factory outputs to the cones of front, rear, centre or subwoofer. */
const chainFeedSchema = z.object({
  output: outputSchema,
  sides: z.array(
    z.object({
      side: z.enum(['left', 'right', 'both']),
      taps: z.array(feedTapSchema),
      summed: z.boolean(),
      /** It waits this long so that what is later comes at the same time; 0 where no part that is given can do it. */
      waitsSeconds: z.number(),
      equalizer: z.array(eqBandSchema),
    }),
  ),
  /** `direct`: the outputs go straight into the amplifier, no converter between. */
  direct: z.boolean(),
  /** Why there are no gains; empty where there are. Nothing that rests on them is printed. */
  noGains: z.array(reasonSchema),
  /** What holds only under a condition: an amplifier's lowest load that nobody noted, bass that is judged roughly. */
  conditions: z.array(reasonSchema),
  setting: setting.nullable(),
  worstHz: z.number().nullable(),
  restoration: z
    .object({
      fromSetting: setting.nullable(),
      boostDb: z.number(),
      atHz: z.number(),
      /** All of it, decibels at each of `frequencyHz`; the first also below, nothing above the last. */
      frequencyHz: z.array(z.number()),
      settings: z.array(z.object({ setting, boostDb: z.array(z.number()) })),
    })
    .nullable(),
  /** From volts at the outputs (full-scale units where they are not known) to volts; null where there are no gains. */
  gains: z.object({ toLine: z.number().nullable(), toAmplifierOutput: z.number().nullable() }).nullable(),
  /** The parts' own noise, volts RMS at the converter's output and at the amplifier's input. */
  noise: z.object({ converterVolts: z.number(), amplifierVolts: z.number() }),
  /** How the subwoofer starts against the mains, by the seat takes, else as radio and filters add; `as wired` elsewhere. */
  startWith: z.enum(['as wired', 'inverted', 'either']),
  /** The feed waits this long so that what is later than it comes at the same time. */
  delaySeconds: z.number(),
  nodes: z.array(chainNodeSchema),
  /** Which limit stopped the gains from going further up. */
  bindingLimit: z.enum(BINDING_LIMITS),
  clipsFirst: z.enum(NODE_KINDS).nullable(),
  filters: z.array(chainFilterSchema),
  amplifier: z
    .object({
      name: z.string(),
      channels: z.number().int(),
      ratedWatts: z.number(),
      ratedOhms: z.number(),
      /** Reached at this much below full scale; 0 where the load's rating lies below the amplifier's power. */
      gainOverlapDb: z.number(),
    })
    .nullable(),
  load: chainLoadSchema.nullable(),
  /** At the load's terminals for full scale; null where there are no gains. */
  wattsAtLoad: z.number().nullable(),
});
export type ChainFeed = z.infer<typeof chainFeedSchema>;

/** What the amplifiers can be made to draw, and the wire and fuses that follow. */
export const chainSupplySchema = z.object({
  supplyVolts: z.number(),
  amplifiers: z.array(
    z.object({
      name: z.string(),
      /** The most that it can be made to deliver into the loads really connected, all channels. */
      mostWatts: z.number(),
      currentAmps: z.number(),
      /** For this branch after a split, each for its own wire; the next standard fuse above its current. */
      fuseAmps: z.number(),
    }),
  ),
  fullCurrentAmps: z.number(),
  musicCurrentAmps: z.number(),
  /** At most for the wire, at least for the system; null where nobody noted the wire. */
  fuseAtMostAmps: z.number().nullable(),
  fuseAtLeastAmps: z.number(),
  /** The one to fit; null where no standard fuse lies between, or the wire is not known. */
  fuseAmps: z.number().nullable(),
  fittedFuse: z.object({ amps: z.number(), verdict: z.enum(['right', 'too large', 'too small']) }).nullable(),
  groundMm2: z.number().nullable(),
});
export type ChainSupply = z.infer<typeof chainSupplySchema>;

export const chainSchema = z.object({
  verdict: z.enum(['do it', 'do it with limits', 'not like this']),
  /** What is in the way, or limits it; the heaviest first. */
  because: z.array(reasonSchema),
  player: z.object({
    /** The loudest that the player may be: 0, or below where the radio clips before its volume control. */
    driveDbFs: z.number(),
    /** Where every output ends alike; null where none does. */
    ceilingHz: z.number().nullable(),
    /** What else was recorded playing; absent where nothing was. */
    others: z
      .array(
        z.object({
          source: z.string(),
          /** Against the player, positive where louder; null where it cannot be told. */
          levelDb: z.number().nullable(),
          ceilingHz: z.number().nullable(),
          movesDb: z.number().nullable(),
          /** As far up as it stays clean; null where that is not known. */
          cleanSetting: setting.nullable(),
        }),
      )
      .optional(),
  }),
  volume: z.object({
    /** Every volt of the chain is for it: the highest clean one, or the one that restoration holds up to. Null where none is known. */
    setting: setting.nullable(),
    cleanSetting: setting.nullable(),
    highestRecorded: setting,
    /** The supply at which it was found; null where nobody noted it. */
    supplyVolts: z.number().nullable(),
    /** What is left of it with the engine off; null where the rail or the supply is not known. */
    engineOff: z.object({ supplyVolts: z.number(), setting: setting.nullable() }).nullable(),
  }),
  taps: z.array(chainTapSchema),
  feeds: z.array(chainFeedSchema),
  supply: chainSupplySchema.nullable(),
});
export type Chain = z.infer<typeof chainSchema>;
