import { decibels } from '../../../src/dsp/decibels.ts';

/** A file being played from this page, untouched: no gain, no conversion where the output takes its rate. */
export interface Playing {
  readonly name: string;
  readonly outputRateHz: number;
  readonly fileRateHz: number;
  /** The highest sample of the file, decibels below full scale. */
  readonly peakDbFs: number;
  stop(): void;
}

export async function play(name: string, wav: Uint8Array<ArrayBuffer>, onEnd: () => void): Promise<Playing> {
  const fileRateHz = new DataView(wav.buffer, wav.byteOffset).getUint32(24, true);
  const outputRateHz = rateOfOutput();
  const context = new AudioContext({ sampleRate: fileRateHz });
  const sound = await context.decodeAudioData(wav.slice().buffer);
  const source = new AudioBufferSourceNode(context, { buffer: sound });
  source.connect(context.destination);
  let isOver = false;
  const stop = () => {
    if (isOver) return;
    isOver = true;
    void context.close();
    onEnd();
  };
  source.onended = stop;
  source.start();
  let peak = 0;
  for (let channel = 0; channel < sound.numberOfChannels; channel++)
    for (const sample of sound.getChannelData(channel)) peak = Math.max(peak, Math.abs(sample));
  return { name, outputRateHz, fileRateHz, peakDbFs: decibels(peak), stop };
}

/** A context that is asked for a rate has it, whatever the output takes; one that is not has the output's. */
function rateOfOutput(): number {
  const context = new AudioContext();
  const { sampleRate } = context;
  void context.close();
  return sampleRate;
}
