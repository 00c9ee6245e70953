import { z } from 'zod';
import { form } from '../model/form.ts';
import { engineSchema } from '../model/session.ts';

const positive = z.number().positive();
/** Nobody waits longer; more is a slip of the pen that would fill the disk. */
const MOST_SECONDS = 600;
const seconds = z.number().min(-MOST_SECONDS).max(MOST_SECONDS);
const range = z.tuple([seconds, seconds]);

/** The recorder, and what people and benches do to a recording. */
export const recorderSchema = form({
  sampleRateHz: z
    .union([44_100, 48_000, 88_200, 96_000, 176_400, 192_000].map((rate) => z.literal(rate)))
    .default(48_000),
  bits: z.enum(['16', '24', '32f']).default('24'),
  padRatio: positive.default(11),
  /** RMS volts of a sine that just reaches full scale. */
  fullScaleVoltsRms: positive.default(1.4),
  /** High-pass of its input: a coupling capacitor is of order 1, a transformer behind one of order 2; null for none. */
  couplingHz: positive.nullable().default(null),
  couplingOrder: z.union([z.literal(1), z.literal(2)]).default(1),
  /** Peak at which its input stage clips, below the digital full scale; null where it does not. */
  inputClipDbFs: z.number().max(0).nullable().default(null),
  /** Own noise, 0 to 24 kHz, below a full-scale sine. */
  noiseDbFs: z.number().default(-120),
  /** Recorder clock against player clock, positive where the recorder runs fast. */
  clockPpm: z.number().min(-1000).max(1000).default(37),
  /** How much later than the first each channel samples, in its order; none where the list ends. */
  channelSkewMicroseconds: z.array(z.number().min(-10).max(10)).default([]),
  dcOffset: z.number().min(-0.5).max(0.5).default(0),
  /** Gain that follows the level by itself, as recorders made for speech do. */
  automaticGain: form({
    targetDbFs: z.number().default(-12),
    mostGainDb: z.number().min(0).default(30),
    attackSeconds: positive.default(0.02),
    releaseSeconds: positive.default(2),
  })
    .nullable()
    .default(null),
  /** Two channels the other way round than the session says, counted from 1. */
  swappedChannels: z
    .tuple([z.int().min(1), z.int().min(1)])
    .nullable()
    .default(null),
  /** Channels with nothing connected, counted from 1. */
  deadChannels: z.array(z.int().min(1)).default([]),
  /** Knocks on the bench: in every file, or in the one named. */
  knocks: z
    .array(form({ file: z.string().optional(), atSeconds: z.number().min(0).max(1e6), peakDbFs: z.number() }))
    .default([]),
  /** Samples lost by a slow card, on all channels: in every file of takes, or in the one named. */
  dropouts: z
    .array(
      form({ file: z.string().optional(), atSeconds: z.number().min(0).max(1e6), samples: z.int().min(1) }),
    )
    .default([]),
  /** How far its clock swings around its rate, and how often. */
  clockWobble: form({ ppm: positive.max(200), hz: positive.max(20) })
    .nullable()
    .default(null),
  /** The track begins this long after the recording; negative where recording began late. */
  startSeconds: range.default([0.6, 1.6]),
  /** The recording goes on this long after the track; negative where it was stopped early. */
  endSeconds: range.default([0.5, 1.2]),
});

/** How the takes are spread over files. */
export const filesSchema = form({
  /** `per setting`: all taps in one file. `per pair`: the reference tap and one other in each. `one long file`: all in one. */
  kind: z.enum(['per setting', 'per pair', 'one long file']).default('per setting'),
  referenceTapId: z.string().optional(),
  /** Between takes of one long file. */
  gapSeconds: range.default([2, 5]),
  repeats: z.int().min(1).max(9).default(1),
  /** In one long file: the track begun and stopped again before a take, counted from 1; the session does not list it. */
  aborted: z
    .array(form({ beforeTake: z.int().min(1), playedSeconds: positive.max(MOST_SECONDS) }))
    .default([]),
  loop: z.boolean().default(false),
  shorted: z.boolean().default(false),
  /** Files in which nothing plays; the engine turns at `rpm`, 0 where it is off. */
  noise: z
    .array(
      form({
        engine: engineSchema,
        rpm: z.number().min(0),
        /** Whether the session says how fast it turned. */
        rpmNoted: z.boolean().default(true),
        setting: z.number().default(0),
      }),
    )
    .default([]),
});

export const simulatedCalibrationSchema = z.union([
  /** The pad and recorder as they are, or with the ratio that the person wrote down. */
  form({ kind: z.literal('pad'), statedPadRatio: positive.optional() }),
  /** A file of a steady 100 Hz tone at -10 dBFS at the first tap and setting, with its true volts. */
  form({ kind: z.literal('tone') }),
  form({ kind: z.literal('none') }),
]);
