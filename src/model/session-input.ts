import { z } from 'zod';
import { bayNotesInput, photosInputSchema } from './bay-notes.ts';
import { equipmentSchema } from './equipment.ts';
import { form } from './form.ts';
import {
  connectionSchema,
  engineSchema,
  loadSchema,
  outputLevelSchema,
  positionSchema,
  recordingKindSchema,
  sideSchema,
  verifiesSchema,
} from './session.ts';
import { MOST_SETTINGS } from './setting-range.ts';

/**
 * The session as people write it. Only `settings`, which channels are which tap, and one calibration are needed;
 * `resolve-session.ts` fills in the rest. A resolved session is a valid session file too.
 * The descriptions are the reference for users: `steptone schema session` prints them.
 */

/** Any more cannot be meant: a 1:10000 pad on a 15 V output leaves 1.5 mV. */
const MOST_PAD_RATIO = 10_000;
/** More than any recorder has channels. */
export const MOST_TAPS = 256;
/** 64 settings of 64 taps, recorded in pairs. */
const MOST_RECORDINGS = 2048;
/** Far above any output that this tool is made for; beyond it a unit was mistaken. */
const MOST_VOLTS = 1000;

const volts = z.number().positive().max(MOST_VOLTS);
const name = z.string().trim().min(1);

const settingsInputSchema = z
  .union([
    z.number(),
    z.string(),
    z
      .array(z.union([z.number(), z.string()]))
      .min(1)
      .max(MOST_SETTINGS),
  ])
  .describe(
    'Volume settings in the order you recorded them: 10-38/4, 10-38, "10, 14, 18" or a list. Write a setting twice for a ' +
      'repeated take. More settings pin down where the bass cut starts. Default: those of the recordings.',
  );

const channelsInputSchema = z
  .array(name.nullable())
  .min(1)
  .max(MOST_TAPS)
  .describe(
    'The output on each channel of the WAV, in order; null (or "-") for an unused channel. Default: the taps in order.',
  );

const verifiesInputSchema = z
  .union([
    name,
    form({
      feed: name
        .optional()
        .describe('Feed of the plan, such as feed-front-left. Default: by the position and side of the tap.'),
      node: verifiesSchema.shape.node.describe(
        'Where you recorded it. Default: converter output if the id says converter or line, else amplifier output.',
      ),
      restoration: verifiesSchema.shape.restoration.describe(
        'Restoration on or off during the take. Default: on where the plan restores.',
      ),
    }),
  ])
  .describe(
    'For takes after the install (steptone verify): the feed of the plan on this channel. Default: by the name of the tap.',
  );

const tapFormSchema = form({
  id: name.describe('Short name of the output, for `channels`.'),
  label: name.optional().describe('Name for the report. Default: the id.'),
  side: sideSchema
    .optional()
    .describe(
      'The side it should carry; the recordings check it. Default: left or right if the id says so (front-left, FL), ' +
        'otherwise unknown.',
    ),
  position: positionSchema
    .optional()
    .describe(
      'Where its speaker sits, so that the plan knows which feeds it may supply. microphone: no output, but a phone or microphone ' +
        'that stays in one place in the car, to screen the radio before you open anything. Default: by the id, otherwise unknown.',
    ),
  load: loadSchema
    .optional()
    .describe(
      'What hung on the output during the take. A radio that senses its load may mute without one. Default: unknown.',
    ),
  level: outputLevelSchema
    .optional()
    .describe(
      'speaker: it drives a speaker. line: a preamplifier output of a few volts. Default: `level` of the session.',
    ),
  connection: connectionSchema
    .optional()
    .describe(
      'Across the pair, or one leg to chassis: a bridged stage then reads half, and Steptone doubles the volts. Default: pair.',
    ),
  verifies: verifiesInputSchema.optional(),
  ...bayNotesInput,
});

const tapInputSchema = z.union([name, tapFormSchema]);

const recordingFormSchema = form({
  file: name.describe('WAV file beside the session file, or a pattern (front-*.wav) for one file a setting.'),
  setting: z
    .number()
    .optional()
    .describe('The one setting in this file, in place of `settings`. Default: none.'),
  settings: settingsInputSchema.optional(),
  channels: channelsInputSchema.optional(),
  kind: recordingKindSchema
    .optional()
    .describe(
      'takes: the radio. loop: the player straight into the recorder, to divide the recorder out. shorted: recorder ' +
        'inputs shorted, for its own noise. noise: the radio on, silent or playing the track, with `engine`. ' +
        'other source: the radio with another source, compared with the take of the same output and setting. ' +
        'seat sub, seat mains, seat both, seat both inverted: a microphone at the seat, the response-only track playing ' +
        'through the subwoofer, the mains, both, and both with the subwoofer inverted; leave levels and microphone alone ' +
        'between them. Default: as the file name begins (loop, shorted, noise-idle, source, seat-sub, seat-both-inverted), otherwise takes.',
    ),
  engine: engineSchema
    .optional()
    .describe(
      'For a noise take: off, idle, or fast (a steady higher speed). Tones that move with it come from the engine. Default: by ' +
        'the file name (noise-off, noise-idle, noise-fast), otherwise off.',
    ),
  rpm: z
    .number()
    .min(300)
    .max(12_000)
    .optional()
    .describe(
      'Engine speed during a noise take, from the dash. Default: not stated; Steptone finds it from the tones.',
    ),
  source: name
    .optional()
    .describe(
      'What played this file; another than `source` of the session makes it a take of another source. Default: `source`, ' +
        'or of files named source-22.wav `otherSource`, and of source-phone-22.wav phone.',
    ),
  supplyVolts: volts
    .nullish()
    .describe('Supply at the radio during this file, volts; the radio clips by it. Default: supply.volts.'),
});

const recordingInputSchema = z.union([name, recordingFormSchema]);

const tolerancePercent = z
  .number()
  .min(0)
  .max(50)
  .optional()
  .describe('Tolerance of meter or resistors, percent; every uncertainty in volts includes it. Default: 2.');

const calibrationInputSchema = z
  .union([
    z.literal('none'),
    z.discriminatedUnion('kind', [
      form({
        kind: z.literal('pad').describe('From the pad and the recorder.'),
        padRatio: z
          .number()
          .min(1)
          .max(MOST_PAD_RATIO)
          .describe('Volts at the output over volts at the recorder: 11 for 10 k over 1 k, 1 without a pad.'),
        fullScaleVoltsRms: volts.describe(
          'RMS volts of a sine that just fills the recorder’s scale, at the gain you recorded with.',
        ),
        tolerancePercent,
      }),
      form({
        kind: z.literal('tone').describe('From a recorded meter tone.'),
        file: name.describe('WAV of a steady tone through the same pad and gain.'),
        channel: z.int().min(1).optional().describe('Its channel, counted from 1. Default: 1.'),
        voltsRms: volts.describe('RMS volts that a meter read at the output meanwhile.'),
        tolerancePercent,
      }),
      form({ kind: z.literal('none').describe('No calibration.') }),
    ]),
  ])
  .describe(
    'How full scale becomes volts. Default: none; levels are then relative, and you measure the volts yourself.',
  );

const controlsInputSchema = form({
  bass: z.number().optional().describe('Bass control, steps from centre. Default: 0.'),
  middle: z.number().optional().describe('Middle control, steps from centre. Default: 0.'),
  treble: z.number().optional().describe('Treble control, steps from centre. Default: 0.'),
  fade: z.number().optional().describe('Fade, steps to the front. Default: 0.'),
  balance: z.number().optional().describe('Balance, steps to the right. Default: 0.'),
}).describe(
  'Tone, fade and balance during the takes. Off centre they change every response, and the report says so. Default: not stated.',
);

export const sessionInputSchema = form({
  name: name.optional().describe('Title of the report. Default: Factory outputs.'),
  settings: settingsInputSchema.optional(),
  taps: z
    .array(tapInputSchema)
    .min(1)
    .max(MOST_TAPS)
    .optional()
    .describe('The outputs you recorded: names, or names with details. Default: the names in `channels`.'),
  level: outputLevelSchema
    .optional()
    .describe(
      'speaker or line, for all outputs without a level of their own. Default: unknown; Steptone judges by load and volts.',
    ),
  channels: channelsInputSchema.optional(),
  recordings: z
    .array(recordingInputSchema)
    .max(MOST_RECORDINGS)
    .optional()
    .describe(
      'Files and what is in them. Steptone finds noise, loop, shorted and seat takes by their names; you need not list them. ' +
        'Default: the WAV files of the folder by name, one a setting.',
    ),
  calibration: calibrationInputSchema.optional(),
  referenceTapId: name
    .nullish()
    .describe(
      'The output that is in every file, so that arrival times compare. Default: the first such output.',
    ),
  source: name
    .optional()
    .describe(
      'What played the track. The highest clean setting holds for this source only. Default: USB stick.',
    ),
  otherSource: name
    .optional()
    .describe(
      'What else the customer plays, such as a phone. Name its takes by setting, source-22.wav; Steptone compares level, treble, ' +
        'tone and limits with the takes of `source`. Default: none.',
    ),
  supply: form({
    volts: volts
      .nullish()
      .describe(
        'Volts at the radio during the takes. Default: not stated; Steptone then does not judge the rail.',
      ),
    engineRunning: z.boolean().nullish().describe('Whether the engine ran. Default: not stated.'),
  })
    .optional()
    .describe('Supply at the radio, which decides where it clips. Default: not stated.'),
  controls: controlsInputSchema.optional(),
  equipment: equipmentSchema
    .nullish()
    .describe(
      'Converter, amplifiers and speakers that you plan. Default: none; the plan then takes example classes.',
    ),
  equipmentFile: name
    .refine(
      (file) => !/^[/~]|^[a-z]:|\\/i.test(file),
      'a path from the folder of the session, such as ../equipment.yaml',
    )
    .optional()
    .describe('File with the parts, in place of `equipment`, as a path from this folder. Default: none.'),
  notes: z.array(name).optional().describe('Anything else to keep with the car. Default: none.'),
  photos: photosInputSchema,
});
export type SessionInput = z.infer<typeof sessionInputSchema>;
export type TapInput = z.infer<typeof tapFormSchema>;
export type RecordingInput = z.infer<typeof recordingFormSchema>;
