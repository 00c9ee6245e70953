import { z } from 'zod';
import { form } from './form.ts';

/**
 * What is noted in the bay so that a tap is found again and undone years later: wires, plug and pins, photos. Nothing is
 * worked out from it. Each part has the form that people write and the form with every short cut written out.
 */

const text = z.string().trim().min(1);

const wireFormSchema = form({
  colour: text.optional().describe('Colour, with its stripe behind a slash: white/black. Default: none.'),
  pin: z
    .union([text, z.int().min(0)])
    .optional()
    .describe('Pin or cavity of the plug. Default: none.'),
});
/** A word alone is the colour. */
const wireInputSchema = z.union([text, wireFormSchema]);

const photoFormSchema = form({
  file: text
    .refine(
      isBeside,
      'the name of a file beside the session, such as photos/plug.jpg; no other folder, no drive',
    )
    .describe('Photo beside the session file, such as photos/plug.jpg.'),
  caption: text.optional().describe('What it shows. Default: the name of the file.'),
});
/** A word alone is the file. */
const photoInputSchema = z.union([photoFormSchema.shape.file, photoFormSchema]);

export const photosInputSchema = z
  .array(photoInputSchema)
  .optional()
  .describe(
    'Photos, JPEG or PNG. Small ones go into report and sheets with everything that the camera wrote into them (place, ' +
      'time); of larger ones only the name. Default: none.',
  );

/** Of a tap. */
export const bayNotesInput = {
  plus: wireInputSchema
    .optional()
    .describe('The plus wire: its colour, or { colour, pin }. Default: not noted.'),
  minus: wireInputSchema
    .optional()
    .describe('The minus wire: its colour, or { colour, pin }. Default: not noted.'),
  connector: text.optional().describe('Their plug: grey, 16 pins, behind the radio. Default: not noted.'),
  note: text.optional().describe('Anything else about this output. Default: none.'),
  photos: photosInputSchema,
};

const wireSchema = z.object({ colour: z.string().optional(), pin: z.string().optional() }).readonly();
export type NotedWire = z.infer<typeof wireSchema>;

export const photoSchema = z.object({ file: z.string(), caption: z.string() }).readonly();
export type Photo = z.infer<typeof photoSchema>;

/** Absent is what was not noted. */
export const bayNotes = {
  plus: wireSchema.optional(),
  minus: wireSchema.optional(),
  connector: z.string().optional(),
  note: z.string().optional(),
  photos: z.array(photoSchema).readonly().optional(),
};
const bayNotesSchema = z.object(bayNotes).readonly();
export type BayNotes = z.infer<typeof bayNotesSchema>;

const bayNotesInputSchema = z.object(bayNotesInput);
type BayNotesInput = z.infer<typeof bayNotesInputSchema>;

/** The notes of a tap, written out; fields that were not noted are left out. */
export function resolveBayNotes({ plus, minus, connector, note, photos }: BayNotesInput): BayNotes {
  return {
    ...(plus === undefined ? {} : { plus: resolveWire(plus) }),
    ...(minus === undefined ? {} : { minus: resolveWire(minus) }),
    ...(connector === undefined ? {} : { connector }),
    ...(note === undefined ? {} : { note }),
    ...resolvePhotos(photos),
  };
}

export function resolvePhotos(photos: BayNotesInput['photos']): Pick<BayNotes, 'photos'> {
  if (photos === undefined || photos.length === 0) return {};
  return {
    photos: photos.map((photo) => {
      const { file, caption } = typeof photo === 'string' ? { file: photo, caption: undefined } : photo;
      return { file, caption: caption ?? file };
    }),
  };
}

function resolveWire(wire: NonNullable<BayNotesInput['plus']>): NotedWire {
  if (typeof wire === 'string') return { colour: wire };
  const { colour, pin } = wire;
  return {
    ...(colour === undefined ? {} : { colour }),
    ...(pin === undefined ? {} : { pin: String(pin) }),
  };
}

/** No path from the root, no drive, no address, no way up: the folder has to be movable as a whole. */
function isBeside(file: string): boolean {
  return !/^[/~]|^[a-z][a-z0-9+.-]*:|\\/i.test(file) && !file.split('/').includes('..');
}
