import type { Block } from './block.ts';

/** Samples as they come in, with what has to be forgotten forgotten. */
export class Heard {
  readonly sampleRateHz: number;
  private blocks: Block[] = [];
  private frames = 0;

  constructor(sampleRateHz: number) {
    this.sampleRateHz = sampleRateHz;
  }

  get seconds(): number {
    return this.frames / this.sampleRateHz;
  }

  add(block: Block): void {
    this.blocks.push(block);
    this.frames += block[0].length;
  }

  /** Forgets all but the last seconds. */
  keepLast(seconds: number): void {
    while (this.blocks.length > 1 && (this.frames - this.blocks[0][0].length) / this.sampleRateHz > seconds)
      this.frames -= this.blocks.shift()![0].length;
  }

  /** One array a channel, from a time to another or to the end. */
  section({
    fromSeconds = 0,
    toSeconds = this.seconds,
  }: {
    fromSeconds?: number;
    toSeconds?: number;
  } = {}): Float32Array[] {
    const from = Math.max(0, Math.round(fromSeconds * this.sampleRateHz));
    const to = Math.min(this.frames, Math.round(toSeconds * this.sampleRateHz));
    return (this.blocks[0] ?? []).map((_, channel) => {
      const whole = new Float32Array(this.frames);
      let at = 0;
      for (const block of this.blocks) {
        whole.set(block[channel], at);
        at += block[channel].length;
      }
      return whole.slice(from, to);
    });
  }
}
