import { seededRandom } from '../../src/dsp/random.ts';
import type { Lie } from './lying-session.ts';
import { knock, type Spoilable } from './spoilt.ts';

/** Cuts samples out of every channel, at a time of the recording. */
export const lose =
  (count: number, atSeconds: number) =>
  (recording: Spoilable): void => {
    const at = Math.round(atSeconds * recording.sampleRateHz);
    recording.channels = recording.channels.map((channel) => {
      const shorter = new Float32Array(channel.length - count);
      shorter.set(channel.subarray(0, at));
      shorter.set(channel.subarray(at + count), at);
      return shorter;
    });
  };
export const gain =
  (db: number, fromSeconds = 0, toSeconds = 1e9) =>
  (recording: Spoilable): void => {
    const factor = 10 ** (db / 20);
    const [from, to] = [fromSeconds, toSeconds].map((seconds) => seconds * recording.sampleRateHz);
    for (const channel of recording.channels)
      for (let n = Math.max(0, Math.round(from)); n < Math.min(channel.length, to); n++) channel[n] *= factor;
  };
export const eachSample =
  (change: (value: number, n: number) => number) =>
  ({ channels }: Spoilable): void => {
    for (const channel of channels)
      for (let n = 0; n < channel.length; n++) channel[n] = change(channel[n], n);
  };
/** Read at another speed by straight lines between samples. */
export const stretch =
  (factor: number) =>
  (recording: Spoilable): void => {
    recording.channels = recording.channels.map((channel) =>
      Float32Array.from({ length: Math.floor(channel.length / factor) - 1 }, (_, n) => {
        const at = n * factor;
        const i = Math.floor(at);
        return channel[i] + (at - i) * (channel[i + 1] - channel[i]);
      }),
    );
  };
export const sampleAt =
  (atSeconds: number, value: number) =>
  ({ channels, sampleRateHz }: Spoilable): void => {
    for (const channel of channels) channel[Math.round(atSeconds * sampleRateHz)] = value;
  };
export const end =
  (seconds: number) =>
  (recording: Spoilable): void => {
    recording.channels = recording.channels.map((c) =>
      c.slice(0, Math.round(seconds * recording.sampleRateHz)),
    );
  };
export const begin =
  (seconds: number) =>
  (recording: Spoilable): void => {
    recording.channels = recording.channels.map((c) => c.slice(Math.round(seconds * recording.sampleRateHz)));
  };
const swap = (recording: Spoilable) => void recording.channels.reverse();
const gate = (least: number) => eachSample((value) => (Math.abs(value) < least ? 0 : value));
const bits = (count: number) =>
  eachSample((value) => Math.round(value * 2 ** (count - 1)) / 2 ** (count - 1));
const hit = (atSeconds: number, peak: number) => (recording: Spoilable) => {
  for (const channel of recording.channels)
    knock(channel, { sampleRateHz: recording.sampleRateHz, atSeconds, peak });
};
const fadeIn = (seconds: number) => (recording: Spoilable) =>
  eachSample((value, n) => value * Math.min(1, n / recording.sampleRateHz / seconds))(recording);
const normalised = (recording: Spoilable) => {
  const peak = Math.max(
    ...recording.channels.map((c) => c.reduce((most, v) => Math.max(most, Math.abs(v)), 0)),
  );
  eachSample((value) => (0.98 * value) / peak)(recording);
};
const hum = (peak: number) => (recording: Spoilable) =>
  eachSample((value, n) => value + peak * Math.sin((2 * Math.PI * 50 * n) / recording.sampleRateHz))(
    recording,
  );
const all = (spoil: (recording: Spoilable) => void): Lie => ({
  spoil: { 12: spoil, 16: spoil, 20: spoil, 26: spoil, 32: spoil, 36: spoil },
});
const hiss = (rms: number) => (recording: Spoilable) => {
  const random = seededRandom(9);
  eachSample((value) => value + rms * random.gaussian())(recording);
};
const compress = (recording: Spoilable) => {
  let envelope = 0;
  eachSample((value) => {
    envelope = Math.max(Math.abs(value), envelope * 0.99998);
    return value * (envelope > 0.05 ? (0.05 / envelope) ** 0.5 : 1);
  })(recording);
};

export const LIES: Record<string, Lie> = {
  good: {},
  'swap 20/26': { exchange: { 20: 26, 26: 20 } },
  'swap 12/36': { exchange: { 12: 36, 36: 12 } },
  'rotate 3': { exchange: { 16: 20, 20: 26, 26: 16 } },
  reversed: { exchange: { 12: 36, 16: 32, 20: 26, 26: 20, 32: 16, 36: 12 } },
  'doubled 26 as 32': { exchange: { 32: 26 } },
  'doubled 36': { exchange: { 32: 36 } },
  'one file for all': { exchange: { 12: 20, 16: 20, 26: 20, 32: 20, 36: 20 } },
  'copy with gain': { exchange: { 32: 26 }, spoil: { 32: gain(6) } },
  'copy trimmed': { exchange: { 32: 26 }, spoil: { 32: begin(0.1003) } },
  'lost 1 between': { spoil: { 26: lose(1, 21.5) } },
  'lost 100 between': { spoil: { 26: lose(100, 21.5) } },
  'lost 100 in sweep left': { spoil: { 26: lose(100, 6) } },
  'lost 100 in sweep left late': { spoil: { 26: lose(100, 8) } },
  'lost 5 in sweep right': { spoil: { 26: lose(5, 12) } },
  'lost 100 in ladder': { spoil: { 26: lose(100, 25) } },
  'lost 0.2 s in ladder': { spoil: { 26: lose(9600, 25) } },
  'lost 0.2 s in sweep': { spoil: { 26: lose(9600, 6) } },
  'lost 0.05 s between': { spoil: { 26: lose(2400, 9) } },
  'lost 0.2 s in silence': { spoil: { 26: lose(9600, 43) } },
  'lost 200 in low': { spoil: { 26: lose(200, 18) } },
  'resampled 1%': { spoil: { 26: stretch(1.01) } },
  'resampled 0.1%': { spoil: { 26: stretch(1.001) } },
  'rate label 44.1': { spoil: { 26: (r) => void (r.sampleRateHz = 44100) } },
  'rate label 96': { spoil: { 26: (r) => void (r.sampleRateHz = 96000) } },
  'rate label 32': { spoil: { 26: (r) => void (r.sampleRateHz = 32000) } },
  'resampled 1% all': all(stretch(1.01)),
  'normalised each': all(normalised),
  'normalised one': { spoil: { 20: normalised } },
  'gain -6 one': { spoil: { 26: gain(-6) } },
  'gain -3 above': { spoil: { 26: gain(-3), 32: gain(-3), 36: gain(-3) } },
  'gain -1 midway': { spoil: { 26: gain(-1, 21) } },
  'closing 3 lower': { spoil: { 26: gain(-3, 33) } },
  'closing 3 lower all': all(gain(-3, 33)),
  '55 ladder 3 lower': { spoil: { 26: gain(-3, 21.6, 28.5) } },
  '55 ladder 3 lower all': all(gain(-3, 21.6, 28.5)),
  '997 ladder 3 lower': { spoil: { 26: gain(-3, 28.4, 31.3) } },
  'low sweep 3 lower': { spoil: { 26: gain(-3, 15.5, 21) } },
  gated: { spoil: { 26: gate(0.001) } },
  'gated hard all': all(gate(0.003)),
  '8 bit': all(bits(8)),
  '8 bit one': { spoil: { 12: bits(8) } },
  'fade in 8 s': { spoil: { 26: fadeIn(8) } },
  'fade in 8 s all': all(fadeIn(8)),
  'cut at end': { spoil: { 26: end(35.8) } },
  'cut in ladder': { spoil: { 26: end(28) } },
  'cut top': { spoil: { 36: end(20) } },
  'cut top 2': { spoil: { 36: end(20), 32: end(20) } },
  'late start': { spoil: { 26: begin(5) } },
  'wild sample sweep': { spoil: { 26: sampleAt(5, 1) } },
  'wild sample right sweep 26': { spoil: { 26: sampleAt(12, 1) } },
  'wild sample 1000': { spoil: { 26: sampleAt(5, 1000) } },
  'wild sample NaN': { spoil: { 26: sampleAt(5, Number.NaN) } },
  'wild sample mid': { spoil: { 26: sampleAt(23, 1) } },
  'wild at middle of file 1e6': { spoil: { 26: sampleAt(23.0, 1e6) } },
  'knock sweep': { spoil: { 26: hit(5, 0.2) } },
  dead: { spoil: { 26: ({ channels }) => void channels[1].fill(0) } },
  'dead all': all(({ channels }) => void channels[1].fill(0)),
  silent: { spoil: { 36: ({ channels }) => channels.forEach((c) => c.fill(0)) } },
  mono: all((r) => void (r.channels = [r.channels[0], r.channels[0].slice()])),
  'mono one': { spoil: { 26: (r) => void (r.channels = [r.channels[0], r.channels[0].slice()]) } },
  mixed: all((r) => {
    const m = r.channels[0].map((v, n) => (v + r.channels[1][n]) / 2);
    r.channels = [m, m.slice()];
  }),
  'swapped one': { spoil: { 26: swap } },
  'swapped half': { spoil: { 26: swap, 32: swap, 36: swap } },
  'swapped all': all(swap),
  'inverted one': { spoil: { 26: eachSample((v) => -v) } },
  'reversed in time': { spoil: { 26: ({ channels }) => channels.forEach((c) => c.reverse()) } },
  'hum common': all(hum(0.001)),
  'hum strong': all(hum(0.03)),
  'hiss one': { spoil: { 26: hiss(0.03) } },
  'compressed all': all(compress),
  'compressed one': { spoil: { 26: compress } },
  clipped: { spoil: { 26: eachSample((v) => Math.max(-0.1, Math.min(0.1, v))) } },
  'clipped all at half': all(eachSample((v) => Math.max(-0.1, Math.min(0.1, v)))),
  'repeated block': {
    spoil: {
      26: (r) => {
        r.channels = r.channels.map((c) => {
          const l = new Float32Array(c.length + 4800);
          l.set(c.subarray(0, 24 * 48000));
          l.set(c.subarray(24 * 48000 - 4800), 24 * 48000);
          return l;
        });
      },
    },
  },
};
