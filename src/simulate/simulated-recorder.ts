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
    .default(48_000)
    .describe('Sample rate, Hz. Default: 48000.'),
  bits: z
    .enum(['16', '24', '32f'])
    .default('24')
    .describe('Bits of a sample; 32f is floating point. Default: 24.'),
  padRatio: positive.default(11).describe('Volts at the output over volts at the recorder. Default: 11.'),
  /** RMS volts of a sine that just reaches full scale. */
  fullScaleVoltsRms: positive
    .default(1.4)
    .describe('RMS volts of a sine that just reaches full scale. Default: 1.4.'),
  /** High-pass of its input: a coupling capacitor is of order 1, a transformer behind one of order 2; null for none. */
  couplingHz: positive.nullable().default(null).describe('High-pass of its input, Hz. Default: none.'),
  couplingOrder: z
    .union([z.literal(1), z.literal(2)])
    .default(1)
    .describe('1: a coupling capacitor; 2: a transformer behind one. Default: 1.'),
  /** Peak at which its input stage clips, below the digital full scale; null where it does not. */
  inputClipDbFs: z
    .number()
    .max(0)
    .nullable()
    .default(null)
    .describe('Peak at which its input stage clips, dBFS. Default: it does not.'),
  /** Own noise, 0 to 24 kHz, below a full-scale sine. */
  noiseDbFs: z
    .number()
    .default(-120)
    .describe('Own noise, 0 to 24 kHz, dB below a full-scale sine. Default: -120.'),
  /** Recorder clock against player clock, positive where the recorder runs fast. */
  clockPpm: z
    .number()
    .min(-1000)
    .max(1000)
    .default(37)
    .describe("Its clock against the player's, ppm; positive: it runs fast. Default: 37."),
  /** How much later than the first each channel samples, in its order; none where the list ends. */
  channelSkewMicroseconds: z
    .array(z.number().min(-10).max(10))
    .default([])
    .describe('How much later than the first each channel samples, microseconds. Default: none.'),
  dcOffset: z.number().min(-0.5).max(0.5).default(0).describe('Offset, part of full scale. Default: 0.'),
  /** Gain that follows the level by itself, as recorders made for speech do. */
  automaticGain: form({
    targetDbFs: z.number().default(-12).describe('Level that it aims at, dBFS. Default: -12.'),
    mostGainDb: z.number().min(0).default(30).describe('Most gain, dB. Default: 30.'),
    attackSeconds: positive.default(0.02).describe('Time in which it turns down, seconds. Default: 0.02.'),
    releaseSeconds: positive.default(2).describe('Time in which it turns up, seconds. Default: 2.'),
  })
    .nullable()
    .default(null)
    .describe('Gain that follows the level by itself. Default: none.'),
  /** Two channels the other way round than the session says, counted from 1. */
  swappedChannels: z
    .tuple([z.int().min(1), z.int().min(1)])
    .nullable()
    .default(null)
    .describe('Two channels the other way round than the session says, counted from 1. Default: none.'),
  /** Channels with nothing connected, counted from 1. */
  deadChannels: z
    .array(z.int().min(1))
    .default([])
    .describe('Channels with nothing connected, counted from 1. Default: none.'),
  /** Knocks on the bench: in every file, or in the one named. */
  knocks: z
    .array(
      form({
        file: z.string().optional().describe('The file. Default: every file of takes.'),
        atSeconds: z.number().min(0).max(1e6).describe('When, seconds from the start of the file.'),
        peakDbFs: z.number().describe('Peak, dBFS.'),
      }),
    )
    .default([])
    .describe('Knocks on the bench. Default: none.'),
  /** Samples lost by a slow card, on all channels: in every file of takes, or in the one named. */
  dropouts: z
    .array(
      form({
        file: z.string().optional().describe('The file. Default: every file of takes.'),
        atSeconds: z.number().min(0).max(1e6).describe('When, seconds from the start of the file.'),
        samples: z.int().min(1).describe('How many samples are lost.'),
      }),
    )
    .default([])
    .describe('Samples lost by a slow card, on all channels. Default: none.'),
  /** How far its clock swings around its rate, and how often. */
  clockWobble: form({
    ppm: positive.max(200).describe('Swing, ppm.'),
    hz: positive.max(20).describe('Swings a second, Hz.'),
  })
    .nullable()
    .default(null)
    .describe('How far its clock swings, ppm, and how often, Hz. Default: not at all.'),
  /** The track begins this long after the recording; negative where recording began late. */
  startSeconds: range
    .default([0.6, 1.6])
    .describe(
      'The track begins this long after the recording, from and to, seconds; negative: recording began late. Default: [0.6, 1.6].',
    ),
  /** The recording goes on this long after the track; negative where it was stopped early. */
  endSeconds: range
    .default([0.5, 1.2])
    .describe(
      'The recording goes on this long after the track, from and to, seconds; negative: stopped early. Default: [0.5, 1.2].',
    ),
});

/** How the takes are spread over files. */
export const filesSchema = form({
  /** `per setting`: all taps in one file. `per pair`: the reference tap and one other in each. `one long file`: all in one. */
  kind: z
    .enum(['per setting', 'per pair', 'one long file'])
    .default('per setting')
    .describe(
      'per setting: all outputs in one file; per pair: the reference and one other in each; one long file: all in one. Default: per setting.',
    ),
  referenceTapId: z.string().optional().describe('The output that is in every file. Default: the first.'),
  /** Between takes of one long file. */
  gapSeconds: range
    .default([2, 5])
    .describe('Time between takes of one long file, from and to, seconds. Default: [2, 5].'),
  repeats: z.int().min(1).max(9).default(1).describe('How often each take is recorded. Default: 1.'),
  /** In one long file: the track begun and stopped again before a take, counted from 1; the session does not list it. */
  aborted: z
    .array(
      form({
        beforeTake: z.int().min(1).describe('The take that it comes before, counted from 1.'),
        playedSeconds: positive.max(MOST_SECONDS).describe('How long it plays, seconds.'),
      }),
    )
    .default([])
    .describe('Tracks begun and stopped again in one long file. Default: none.'),
  loop: z.boolean().default(false).describe('Whether there is a loop take. Default: false.'),
  shorted: z
    .boolean()
    .default(false)
    .describe('Whether there is a take with the inputs shorted. Default: false.'),
  /** Files in which nothing plays; the engine turns at `rpm`, 0 where it is off. */
  noise: z
    .array(
      form({
        engine: engineSchema.describe('off, idle or fast.'),
        rpm: z.number().min(0).describe('Engine speed, revolutions a minute; 0: off.'),
        /** Whether the session says how fast it turned. */
        rpmNoted: z.boolean().default(true).describe('Whether the session states that speed. Default: true.'),
        setting: z.number().default(0).describe('Volume setting. Default: 0.'),
      }),
    )
    .default([])
    .describe('Noise takes, in which nothing plays. Default: none.'),
});

export const simulatedCalibrationSchema = z.union([
  /** The pad and recorder as they are, or with the ratio that the person wrote down. */
  form({
    kind: z.literal('pad').describe('By pad and recorder.'),
    statedPadRatio: positive
      .optional()
      .describe('The ratio that somebody wrote down. Default: the true one.'),
  }),
  /** A file of a steady 100 Hz tone at -10 dBFS at the first tap and setting, with its true volts. */
  form({ kind: z.literal('tone').describe('By a meter tone.') }),
  form({ kind: z.literal('none').describe('No calibration.') }),
]);
