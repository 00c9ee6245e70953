import { z } from 'zod';
import { form } from './form.ts';

const positive = z.number().positive();

/** Four microphone takes at the seat: the magnitude of each, decibels, at the listed frequencies. */
export const seatTakesSchema = form({
  frequencyHz: z.array(positive).min(1).describe('Frequencies of the four lists, Hz.'),
  subwooferDb: z.array(z.number()).describe('Level with the subwoofer alone, dB.'),
  mainsDb: z.array(z.number()).describe('Level with the other speakers alone, dB.'),
  bothDb: z.array(z.number()).describe('Level with both, dB.'),
  bothSubwooferInvertedDb: z
    .array(z.number())
    .optional()
    .describe('Level with both and the subwoofer inverted, dB. Default: not recorded.'),
}).refine(
  ({ frequencyHz, subwooferDb, mainsDb, bothDb, bothSubwooferInvertedDb }) =>
    [subwooferDb, mainsDb, bothDb, bothSubwooferInvertedDb].every(
      (list) => list === undefined || list.length === frequencyHz.length,
    ),
  'every list is as long as frequencyHz',
);
export type SeatTakes = z.infer<typeof seatTakesSchema>;
