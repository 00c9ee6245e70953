import { describe, expect, it } from 'vitest';
import { type Found, type HeardOfTake, TakeRecorder } from '../../report-template/job/sound/take-recorder.ts';

const RATE_HZ = 1000;
const BLOCK_SECONDS = 0.1;
const FULL_SECONDS = 44;
const QUIET = 1e-4;
const LOUD = 0.1;

/** A bay: what is heard at each time, and where the track stands in it. */
class Bay {
  readonly ended: HeardOfTake[] = [];
  private seconds = 0;
  private played: { at: number; track: string; long: number } | null = null;
  private readonly recorder: TakeRecorder;

  constructor(wanted: string) {
    this.recorder = new TakeRecorder(RATE_HZ, {
      track: wanted,
      search: async ([samples]) => this.found(samples.length / RATE_HZ),
      onEnd: (take) => this.ended.push(take),
    });
  }

  get stage() {
    return this.recorder.stage;
  }

  async hear(level: number, seconds: number): Promise<void> {
    for (let i = 0; i < Math.round(seconds / BLOCK_SECONDS); i++) {
      this.recorder.add([new Float32Array(BLOCK_SECONDS * RATE_HZ).fill(level)]);
      this.seconds += BLOCK_SECONDS;
      // What the search found is heard of before the next block.
      for (let turn = 0; turn < 3; turn++) await Promise.resolve();
    }
  }

  async play(track: string, long: number, heardFor = long): Promise<void> {
    this.played = { at: this.seconds, track, long };
    await this.hear(LOUD, heardFor);
  }

  /** As a worker sees it in the last seconds: whole tracks only. */
  private found(lastSeconds: number): Found | null {
    if (this.played === null || this.seconds < this.played.at + this.played.long) return null;
    const startSeconds = this.played.at - (this.seconds - lastSeconds);
    if (startSeconds < 0) return null;
    return { startSeconds, endSeconds: startSeconds + this.played.long, track: this.played.track };
  }
}

describe('a take', () => {
  it('outlasts a knock that comes long before its track.', async () => {
    const bay = new Bay('full');
    await bay.hear(QUIET, 3);
    await bay.hear(LOUD, 0.2);
    expect(bay.stage).toBe('hearing');
    await bay.hear(QUIET, 40);
    expect(bay.stage).toBe('waiting');
    await bay.play('full', FULL_SECONDS);
    await bay.hear(QUIET, 5);
    expect(bay.ended).toHaveLength(1);
    expect(bay.ended[0].whole).toBe(true);
    const seconds = bay.ended[0].channels[0].length / RATE_HZ;
    // A second of quiet in front and behind.
    expect(seconds).toBeGreaterThan(FULL_SECONDS + 1.4);
    expect(seconds).toBeLessThan(FULL_SECONDS + 2.1);
  });

  it('goes on through a track that is quiet for 12 s to its end, as a left subwoofer output is.', async () => {
    const bay = new Bay('full');
    await bay.hear(QUIET, 3);
    await bay.play('full', FULL_SECONDS, FULL_SECONDS - 12);
    await bay.hear(QUIET, 11.5);
    expect(bay.stage).toBe('hearing');
    await bay.hear(QUIET, 5);
    expect(bay.ended[0].whole).toBe(true);
  });

  it('of which so much was lost that no track is found ends once it is quiet, and is not whole.', async () => {
    const bay = new Bay('full');
    await bay.hear(QUIET, 3);
    await bay.hear(LOUD, 30);
    await bay.hear(QUIET, 20);
    expect(bay.ended).toHaveLength(1);
    expect(bay.ended[0]).toMatchObject({ whole: false, short: false });
  });

  it('that hears the response-only track where the full one is wanted says so.', async () => {
    const bay = new Bay('full');
    await bay.hear(QUIET, 3);
    await bay.play('response only', 19.5);
    await bay.hear(QUIET, 20);
    expect(bay.ended).toHaveLength(1);
    expect(bay.ended[0]).toMatchObject({ whole: false, short: true });
  });

  it('takes the full track where the response-only one would do.', async () => {
    const bay = new Bay('response only');
    await bay.hear(QUIET, 3);
    await bay.play('full', FULL_SECONDS);
    await bay.hear(QUIET, 5);
    expect(bay.ended[0]).toMatchObject({ whole: true, short: false });
  });
});
