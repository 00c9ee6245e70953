/** Frames that are sent to the page at a time: 43 ms at 48 kHz. */
const capturePeriodFrames = 2048;

/**
 * Runs in the thread of the sound; sends every sample to the page. A text, since a page on the disk can load it from an
 * address that holds it and from nowhere else.
 */
export const captureProcessor = `
registerProcessor('steptone-capture', class extends AudioWorkletProcessor {
  constructor() {
    super();
    this.filled = 0;
    this.block = null;
  }
  process([input]) {
    if (input.length === 0) return true;
    this.block ??= input.map(() => new Float32Array(${capturePeriodFrames}));
    if (this.block.length !== input.length) {
      this.block = input.map(() => new Float32Array(${capturePeriodFrames}));
      this.filled = 0;
    }
    input.forEach((samples, channel) => this.block[channel].set(samples, this.filled));
    this.filled += input[0].length;
    if (this.filled >= ${capturePeriodFrames}) {
      this.port.postMessage(this.block, this.block.map(({ buffer }) => buffer));
      this.block = null;
      this.filled = 0;
    }
    return true;
  }
});`;
