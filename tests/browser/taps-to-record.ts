import { encodeWav } from '../../src/audio/write-wav.ts';
import { parseScenario } from '../../src/simulate/read-scenario.ts';
import { simulate } from '../../src/simulate/simulate.ts';

/** Two outputs behind a recorder of 16 bits, which is what the browser's own stand-in for an interface reads. */
const SCENARIO = {
  name: 'Rear pair',
  seed: 5,
  settings: '10',
  track: 'response only',
  taps: [
    { id: 'rear-left', side: 'left', position: 'rear' },
    { id: 'rear-right', side: 'right', position: 'rear', inverted: true },
  ],
  everyTap: { volume: { atSetting: 10, voltsRms: 5, dbPerStep: 1 } },
  recorder: { bits: '16' },
};

export const PAIR_SESSION = `settings: "10, 14, 18"
taps: [front-left, front-right, rear-left, rear-right]
recordings:
  - { file: pair-a-*.wav, channels: [front-left, front-right] }
  - { file: pair-b-*.wav, channels: [rear-left, rear-right] }
`;
/** The response-only track on both of them. */
export const TAKE = 'pair-b-10.wav';

/** What the two outputs give at a rate, a second of quiet in front and behind. */
export function tapsAt(sampleRateHz: number): Float32Array[] {
  return simulated({ ...SCENARIO, recorder: { ...SCENARIO.recorder, sampleRateHz } })[0];
}

/** The same radio at another setting, or with another track. */
export function radioAt({
  setting,
  sampleRateHz,
  track,
}: {
  setting: number;
  sampleRateHz: number;
  track: 'full' | 'response only';
}): Float32Array[] {
  const { recorder } = SCENARIO;
  return simulated({
    ...SCENARIO,
    settings: String(setting),
    track,
    recorder: { ...recorder, sampleRateHz },
  })[0];
}

/** Channels of each recording of a scenario. */
export function simulated(scenario: object): Float32Array[][] {
  const text = JSON.stringify(scenario);
  const { recordings } = { recordings: simulate(parseScenario({ fileName: 'scenario', text })).recordings() };
  return Array.from(recordings, ({ channels }) => channels.map((samples) => Float32Array.from(samples)));
}

/** One block of a browser's sound. */
const LOST_FRAMES = 128;

/** One block as browsers lose them. */
export function withLostBlock(
  samples: Float32Array,
  { atSeconds, sampleRateHz }: { atSeconds: number; sampleRateHz: number },
): Float32Array {
  const at = Math.round(atSeconds * sampleRateHz);
  const shorter = samples.slice(0, samples.length - LOST_FRAMES);
  shorter.set(samples.subarray(at + LOST_FRAMES), at);
  return shorter;
}

/** 1.5 dB up over the file, as an automatic gain does it. */
export function withDrift(samples: Float32Array): Float32Array {
  return samples.map((sample, i) => 0.8 * sample * 10 ** ((1.5 * i) / samples.length / 20));
}

export function wavOf(channels: Float32Array[], sampleRateHz: number): Uint8Array<ArrayBuffer> {
  return encodeWav({ channels, sampleRateHz, bitDepth: '16' }) as Uint8Array<ArrayBuffer>;
}
