import { type MeterTone, meterTones } from './meter-tone.ts';
import { fullTrack, responseTrack, type Track } from './track.ts';

/** A file for the stick: what it holds, under a name that a person on a radio's screen can tell apart. */
export type StickFile = { readonly name: string; readonly sampleRateHz: number } & (
  | { readonly track: Track }
  | { readonly tone: MeterTone }
);

/** Everything that goes on the stick for one sample rate. */
export function stickFiles(sampleRateHz: number): readonly StickFile[] {
  const rate = `${Math.floor(sampleRateHz / 1000)}k`; // 44k, 48k
  const tracks = [fullTrack, responseTrack].map((track) => ({
    name: `steptone-${track.name.replace(' ', '-')}-track-${rate}.wav`,
    sampleRateHz,
    track,
  }));
  const tones = meterTones.map((tone) => ({
    name: `steptone-${meterToneName(tone)}-${rate}.wav`,
    sampleRateHz,
    tone,
  }));
  return [...tracks, ...tones];
}

/** `meter-100hz-minus-5db`: what tells a tone's file from the others. */
export function meterToneName({ toneHz, driveDbFs }: MeterTone): string {
  return `meter-${toneHz}hz-${driveDbFs === 0 ? '0' : `minus-${-driveDbFs}`}db`;
}
