import { SteptoneError } from '../model/errors.ts';
import type { OpenRecordings } from './open-recordings.ts';

/** Samples a second, as 8 channels at 192 kHz have them: of more, one thread fills what several are to need. */
const MOST_SAMPLES_PER_SECOND = 8 * 192_000;

/** Whether a recording has so many samples a second that one thread is to read. One that cannot be opened is told where it is read. */
export function isWide(file: string, recordings: Pick<OpenRecordings, 'open'>): boolean {
  try {
    const { channelCount, sampleRateHz } = recordings.open(file);
    return channelCount * sampleRateHz > MOST_SAMPLES_PER_SECOND;
  } catch (error) {
    if (error instanceof SteptoneError) return false;
    throw error;
  }
}
