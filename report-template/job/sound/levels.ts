import { decibels } from '../../../src/dsp/decibels.ts';
import { HEADROOM_DB, LOW_PEAK_DB_FS } from '../../../src/measure/remarks/channel-remarks.ts';
import type { Block } from './block.ts';

/** Of one channel, decibels against a sine that just reaches full scale (AES17). */
export interface Level {
  readonly nowDbFs: number;
  /** The highest sample since the holding began. */
  readonly heldPeakDbFs: number;
}

/** Half a step of 24 bits lies at -144: no cable that is in is as quiet (chosen here). */
const NOTHING_DB_FS = -120;
const FLOOR = 1e-9;

/** Levels of all channels, block after block. */
export class Levels {
  private held: number[] = [];
  private now: number[] = [];

  add(block: Block): void {
    block.forEach((samples, channel) => {
      let peak = 0;
      let power = 0;
      for (let i = 0; i < samples.length; i++) {
        const size = Math.abs(samples[i]);
        if (size > peak) peak = size;
        power += size * size;
      }
      this.held[channel] = Math.max(this.held[channel] ?? 0, peak);
      this.now[channel] = Math.sqrt((2 * power) / samples.length);
    });
  }

  /** Begins to hold anew. */
  reset(): void {
    this.held = [];
  }

  levels(): Level[] {
    return this.now.map((rms, channel) => ({
      nowDbFs: levelDbFs(rms),
      heldPeakDbFs: levelDbFs(this.held[channel] ?? 0),
    }));
  }
}

/** What to do about a level, in plain words. */
export function levelWords({ heldPeakDbFs }: Level): string {
  if (heldPeakDbFs > -HEADROOM_DB) return 'too hot: turn the pad or the gain down';
  if (heldPeakDbFs < NOTHING_DB_FS) return 'nothing comes in: look at cable, gain and input';
  return heldPeakDbFs < LOW_PEAK_DB_FS ? 'too low, if the track plays' : 'good';
}

function levelDbFs(size: number): number {
  return decibels(Math.max(FLOOR, size));
}
