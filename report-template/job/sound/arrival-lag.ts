/** Of sound as it comes: blocks, each with the frames in it. */
interface Arrival {
  readonly atSeconds: number;
  readonly frames: number;
}

/** A second's worth at 48 kHz. */
const LOOKED_AT_BLOCKS = 24;

/**
 * How far the sound that came in stays behind the clock, seconds; only differences mean something. A busy page fetches blocks
 * late: of the last second the one that was fetched quickest tells.
 */
export class ArrivalLag {
  private readonly sampleRateHz: number;
  private startedAt: number | null = null;
  private frames = 0;
  private readonly lags: number[] = [];

  constructor(sampleRateHz: number) {
    this.sampleRateHz = sampleRateHz;
  }

  add({ atSeconds, frames }: Arrival): void {
    this.startedAt ??= atSeconds;
    this.lags.push(atSeconds - this.startedAt - this.frames / this.sampleRateHz);
    if (this.lags.length > LOOKED_AT_BLOCKS) this.lags.shift();
    this.frames += frames;
  }

  get seconds(): number {
    return this.lags.length === 0 ? 0 : Math.min(...this.lags);
  }
}
