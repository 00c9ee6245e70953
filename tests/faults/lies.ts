import { seededRandom } from '../../src/dsp/random.ts';
import { knock, type Spoilable } from './spoilt.ts';

/** What is done to a recording so that it no longer is what the session says. */
export type Spoiling = (recording: Spoilable) => void;

/** Cuts samples out of every channel, or plays them twice (a negative count). */
export const lose =
  (count: number, atSeconds: number): Spoiling =>
  (recording) => {
    const at = Math.round(atSeconds * recording.sampleRateHz);
    recording.channels = recording.channels.map((channel) => {
      const shorter = new Float32Array(channel.length - count);
      shorter.set(channel.subarray(0, at));
      shorter.set(channel.subarray(at + count), at);
      return shorter;
    });
  };

export const gain =
  (db: number, { from = 0, to = 1e6 }: { from?: number; to?: number } = {}): Spoiling =>
  ({ channels, sampleRateHz }) => {
    const factor = 10 ** (db / 20);
    for (const channel of channels) {
      const end = Math.min(channel.length, Math.floor(to * sampleRateHz) + 1);
      for (let n = Math.ceil(from * sampleRateHz); n < end; n++) channel[n] *= factor;
    }
  };

export const eachSample =
  (change: (value: number, seconds: number) => number): Spoiling =>
  ({ channels, sampleRateHz }) => {
    for (const channel of channels)
      for (let n = 0; n < channel.length; n++) channel[n] = change(channel[n], n / sampleRateHz);
  };

/** Read at another speed, by straight lines between the samples. */
export const stretch =
  (factor: number): Spoiling =>
  (recording) => {
    recording.channels = recording.channels.map((channel) => {
      const stretched = new Float32Array(Math.floor(channel.length / factor) - 1);
      for (let n = 0; n < stretched.length; n++) {
        const i = Math.floor(n * factor);
        stretched[n] = channel[i] + (n * factor - i) * (channel[i + 1] - channel[i]);
      }
      return stretched;
    });
  };

export const labelled =
  (sampleRateHz: number): Spoiling =>
  (recording) => {
    recording.sampleRateHz = sampleRateHz;
  };

export const part =
  (fromSeconds: number, toSeconds = 1e6): Spoiling =>
  (recording) => {
    const [from, to] = [fromSeconds, toSeconds].map((seconds) =>
      Math.round(seconds * recording.sampleRateHz),
    );
    recording.channels = recording.channels.map((channel) => channel.slice(from, to));
  };

export const sampleAt =
  (atSeconds: number, value: number): Spoiling =>
  ({ channels, sampleRateHz }) => {
    for (const channel of channels) channel[Math.round(atSeconds * sampleRateHz)] = value;
  };

export const normalised: Spoiling = (recording) => {
  const peak = Math.max(
    ...recording.channels.map((channel) =>
      channel.reduce((most, value) => Math.max(most, Math.abs(value)), 0),
    ),
  );
  eachSample((value) => (0.98 * value) / peak)(recording);
};

export const struck =
  (atSeconds: number, peak: number): Spoiling =>
  ({ channels, sampleRateHz }) => {
    for (const channel of channels) knock(channel, { sampleRateHz, atSeconds, peak });
  };

/** Balance or fade moved, or a pad that was bridged: the second channel alone. */
export const secondBy =
  (db: number): Spoiling =>
  ({ channels: [, second] }) => {
    const factor = 10 ** (db / 20);
    for (let n = 0; n < second.length; n++) second[n] *= factor;
  };

export const swapped: Spoiling = (recording) => {
  recording.channels.reverse();
};
export const mono: Spoiling = (recording) => {
  recording.channels = [recording.channels[0], recording.channels[0].slice()];
};
/** Both inputs added, as a recorder that records mono does. */
export const mixed: Spoiling = ({ channels: [left, right] }) => {
  for (let n = 0; n < left.length; n++) left[n] = (left[n] + right[n]) / 2;
  right.set(left);
};
export const dead: Spoiling = ({ channels }) => {
  channels[1].fill(0);
};
export const silent: Spoiling = ({ channels }) => {
  for (const channel of channels) channel.fill(0);
};
export const backwards: Spoiling = ({ channels }) => {
  for (const channel of channels) channel.reverse();
};
export const gated = (least: number): Spoiling =>
  eachSample((value) => (Math.abs(value) < least ? 0 : value));
export const bits = (count: number): Spoiling =>
  eachSample((value) => Math.round(value * 2 ** (count - 1)) / 2 ** (count - 1));
export const clipped = (at: number): Spoiling => eachSample((value) => Math.max(-at, Math.min(at, value)));

/** What a codec or a lower rate leaves: nothing above a frequency (windowed sinc, 60 dB down within 500 Hz). */
export const upTo =
  (hz: number): Spoiling =>
  ({ channels, sampleRateHz }) => {
    const reach = 200;
    const kernel = Array.from({ length: 2 * reach + 1 }, (_, k) => {
      const n = k - reach;
      const sinc =
        n === 0 ? (2 * hz) / sampleRateHz : Math.sin((2 * Math.PI * hz * n) / sampleRateHz) / (Math.PI * n);
      const part = (Math.PI * n) / (reach + 1);
      return sinc * (0.42 + 0.5 * Math.cos(part) + 0.08 * Math.cos(2 * part));
    });
    for (const channel of channels) {
      const source = channel.slice();
      for (let n = reach; n < channel.length - reach; n++) {
        let sum = 0;
        for (let k = 0; k < kernel.length; k++) sum += kernel[k] * source[n + k - reach];
        channel[n] = sum;
      }
    }
  };

/** The two channels the other way round from then on: a connector that was turned in the middle. */
export const swappedFrom =
  (fromSeconds: number): Spoiling =>
  ({ channels: [one, other], sampleRateHz }) => {
    for (let n = Math.round(fromSeconds * sampleRateHz); n < one.length; n++)
      [one[n], other[n]] = [other[n], one[n]];
  };

export const hiss =
  (rms: number): Spoiling =>
  (recording) => {
    const random = seededRandom(9);
    eachSample((value) => value + rms * random.gaussian())(recording);
  };

export const inTurn =
  (...all: readonly Spoiling[]): Spoiling =>
  (recording) => {
    for (const spoil of all) spoil(recording);
  };
