import { encodeWav } from '../audio/write-wav.ts';
import { renderMeterTone } from '../tones/meter-tone.ts';
import { renderTrack } from '../tones/render-track.ts';
import type { StickFile } from '../tones/stick-files.ts';

/** A file of the stick, the same bytes whoever writes it. */
export function stickWav(file: StickFile): Uint8Array {
  const { sampleRateHz } = file;
  if ('tone' in file) {
    const samples = renderMeterTone(file.tone, sampleRateHz);
    return encodeWav({ sampleRateHz, channels: [samples, samples], bitDepth: '16' });
  }
  const { left, right } = renderTrack(file.track, sampleRateHz);
  return encodeWav({ sampleRateHz, channels: [left, right], bitDepth: '16' });
}
