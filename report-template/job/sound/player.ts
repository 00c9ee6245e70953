import { decibels } from '../../../src/dsp/decibels.ts';

/** A file being played from this page, untouched: no gain, no conversion where the output takes its rate. */
export interface Playing {
  readonly outputRateHz: number;
  readonly fileRateHz: number;
  /** The highest sample of the file, decibels below full scale. */
  readonly peakDbFs: number;
  stop(): void;
}

export async function play(wav: Uint8Array<ArrayBuffer>, onEnd: () => void): Promise<Playing> {
  const fileRateHz = new DataView(wav.buffer, wav.byteOffset).getUint32(24, true);
  const context = new AudioContext({ sampleRate: fileRateHz });
  const sound = await context.decodeAudioData(wav.slice().buffer);
  const source = new AudioBufferSourceNode(context, { buffer: sound });
  source.connect(context.destination);
  source.onended = () => {
    void context.close();
    onEnd();
  };
  source.start();
  let peak = 0;
  for (let channel = 0; channel < sound.numberOfChannels; channel++)
    for (const sample of sound.getChannelData(channel)) peak = Math.max(peak, Math.abs(sample));
  return {
    outputRateHz: context.sampleRate,
    fileRateHz,
    peakDbFs: decibels(peak),
    stop: () => source.stop(),
  };
}
