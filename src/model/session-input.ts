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
    'Volume settings in the order recorded: 10-38/4, 10-38, "10, 14, 18" or a list. A setting written twice is a repeated ' +
      'take. More settings narrow the bracket in which the bass begins to fall. Default: those of the recordings.',
  );

const channelsInputSchema = z
  .array(name.nullable())
  .min(1)
  .max(MOST_TAPS)
  .describe(
    'The tap on each channel of the WAV, in order; null (or "-") for an unused channel. Default: the taps in order.',
  );

const verifiesInputSchema = z
  .union([
    name,
    form({
      feed: name
        .optional()
        .describe('Feed of the plan, such as feed-front-left. Default: by the position and side of the tap.'),
      node: verifiesSchema.shape.node.describe(
        'Where it was recorded. Default: converter output where the id says converter or line, else amplifier output.',
      ),
      restoration: verifiesSchema.shape.restoration.describe(
        'How the bass restoration stood while recording. Default: on where the plan restores.',
      ),
    }),
  ])
  .describe(
    'For recordings after the install (steptone verify): the feed of the plan that is heard here. Default: by the name of the tap.',
  );

const tapFormSchema = form({
  id: name.describe('Short name of the tap, used in `channels`.'),
  label: name.optional().describe('Name for the report. Default: the id.'),
  side: sideSchema
    .optional()
    .describe(
      'Which programme side it should carry; the routing finding is held against it. Default: left or right where the id ' +
        'says so (front-left, FL), otherwise unknown.',
    ),
  position: positionSchema
    .optional()
    .describe(
      'Where its speaker sits; chooses which taps are offered for which feed. microphone: no output, but a phone or microphone ' +
        'left in one place in the car, to screen the radio before anything is opened. Default: read from the id, otherwise unknown.',
    ),
  load: loadSchema
    .optional()
    .describe(
      'What was connected while recording. A radio that senses its load may mute without one. Default: unknown.',
    ),
  level: outputLevelSchema
    .optional()
    .describe(
      'speaker: it feeds a speaker. line: a preamplifier output of a few volts. Default: `level` of the session.',
    ),
  connection: connectionSchema
    .optional()
    .describe(
      'Across the pair of wires, or one leg to chassis; a bridged stage then reads half, and volts are doubled. Default: pair.',
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
    .describe('The one setting in this file: `settings` with one entry. Default: none.'),
  settings: settingsInputSchema.optional(),
  channels: channelsInputSchema.optional(),
  kind: recordingKindSchema
    .optional()
    .describe(
      'takes: the radio. loop: the player straight into the recorder; the recorder is then divided out. shorted: recorder ' +
        'inputs shorted; its own noise is then known. noise: the radio on, nothing playing or the full track, with `engine`. ' +
        'other source: the radio, played from another source; held against the take of the same output and setting. ' +
        'seat sub, seat mains, seat both, seat both inverted: a microphone at the seat, the response-only track playing ' +
        'through the subwoofer, the mains, both, both with the subwoofer turned over; levels and microphone untouched ' +
        'between them. Default: as the file name begins (loop, shorted, noise-idle, source, seat-sub, seat-both-inverted), otherwise takes.',
    ),
  engine: engineSchema
    .optional()
    .describe(
      'Of a noise take: off, idle, or fast (a steady higher speed). Lines that move with it belong to the engine. Default: as ' +
        'the file name says (noise-off, noise-idle, noise-fast), otherwise off.',
    ),
  rpm: z
    .number()
    .min(300)
    .max(12_000)
    .optional()
    .describe(
      'Engine speed during a noise take, as the dash shows it. Default: not stated; found from the lines.',
    ),
  source: name
    .optional()
    .describe(
      'What played this file; another than `source` of the session makes it a take of another source. Default: `source`, ' +
        'or of files named source-22.wav `otherSource`, and of source-phone-22.wav phone.',
    ),
  supplyVolts: volts
    .nullish()
    .describe(
      'Supply at the radio during this file, volts. Default: supply.volts. Clipping is held against it.',
    ),
});

const recordingInputSchema = z.union([name, recordingFormSchema]);

const tolerancePercent = z
  .number()
  .min(0)
  .max(50)
  .optional()
  .describe('Meter or resistor tolerance, percent; goes into every uncertainty in volts. Default: 2.');

const calibrationInputSchema = z
  .union([
    z.literal('none'),
    z.discriminatedUnion('kind', [
      form({
        kind: z.literal('pad'),
        padRatio: z
          .number()
          .min(1)
          .max(MOST_PAD_RATIO)
          .describe('Volts at the tap over volts at the recorder: 11 for 10 k over 1 k, 1 without a pad.'),
        fullScaleVoltsRms: volts.describe(
          'RMS volts of a sine that just reaches full scale at the recorder, with its gain as it stood.',
        ),
        tolerancePercent,
      }),
      form({
        kind: z.literal('tone'),
        file: name.describe('WAV of a steady tone recorded through the same pad and gain.'),
        channel: z.int().min(1).optional().describe('Its channel, counted from 1. Default: 1.'),
        voltsRms: volts.describe('RMS volts read on a meter at the tap while it was recorded.'),
        tolerancePercent,
      }),
      form({ kind: z.literal('none') }),
    ]),
  ])
  .describe(
    'How full scale becomes volts. Default: none; levels are then relative and gains are voltages to measure.',
  );

const controlsInputSchema = form({
  bass: z.number().optional().describe('Bass control, steps from centre. Default: 0.'),
  middle: z.number().optional().describe('Middle control, steps from centre. Default: 0.'),
  treble: z.number().optional().describe('Treble control, steps from centre. Default: 0.'),
  fade: z.number().optional().describe('Fade, steps to the front. Default: 0.'),
  balance: z.number().optional().describe('Balance, steps to the right. Default: 0.'),
}).describe(
  'Tone, fade and balance while recording. Off centre they are part of every response, and a note says so. Default: not stated.',
);

export const sessionInputSchema = form({
  name: name.optional().describe('Title of the report. Default: Factory outputs.'),
  settings: settingsInputSchema.optional(),
  taps: z
    .array(tapInputSchema)
    .min(1)
    .max(MOST_TAPS)
    .optional()
    .describe('The outputs recorded: names, or names with details. Default: the names in `channels`.'),
  level: outputLevelSchema
    .optional()
    .describe(
      'What comes out of all outputs that do not say otherwise: speaker or line level. Default: unknown; told from load and volts.',
    ),
  channels: channelsInputSchema.optional(),
  recordings: z
    .array(recordingInputSchema)
    .max(MOST_RECORDINGS)
    .optional()
    .describe(
      'Files and what they hold. Noise, loop, shorted and seat takes are found by their names and need not be listed. ' +
        'Default: the WAV files of the folder in natural order, one a setting.',
    ),
  calibration: calibrationInputSchema.optional(),
  referenceTapId: name
    .nullish()
    .describe(
      'The tap that is in every file, so that arrival times compare. Default: the first tap that is in every file.',
    ),
  source: name
    .optional()
    .describe(
      'What played the track. A highest clean setting holds for this source only. Default: USB stick.',
    ),
  otherSource: name
    .optional()
    .describe(
      'What else is played in this car, such as a phone. Takes of it are named source-22.wav by their setting; level, treble, ' +
        'tone and limits are held against the takes of `source`. Default: none.',
    ),
  supply: form({
    volts: volts
      .nullish()
      .describe('Volts at the radio while recording. Default: not stated; the rail is then not judged.'),
    engineRunning: z.boolean().nullish().describe('Whether the engine ran. Default: not stated.'),
  })
    .optional()
    .describe('Supply at the radio; the level at which it clips is held against it. Default: not stated.'),
  controls: controlsInputSchema.optional(),
  equipment: equipmentSchema
    .nullish()
    .describe('Converter, amplifiers and speakers planned. Default: none; gains are then target volts only.'),
  equipmentFile: name
    .refine(
      (file) => !/^[/~]|^[a-z]:|\\/i.test(file),
      'a path from the folder of the session, such as ../equipment.yaml',
    )
    .optional()
    .describe(
      'File that holds what would stand under `equipment`, as a path from this folder; one or the other. Default: none.',
    ),
  notes: z
    .array(name)
    .optional()
    .describe('Anything to keep with the car that belongs to no single tap. Default: none.'),
  photos: photosInputSchema,
});
export type SessionInput = z.infer<typeof sessionInputSchema>;
export type TapInput = z.infer<typeof tapFormSchema>;
export type RecordingInput = z.infer<typeof recordingFormSchema>;
export type SettingsInput = z.infer<typeof settingsInputSchema>;
