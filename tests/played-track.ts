import { seededRandom } from '../src/dsp/random.ts';
import { sectionProgramme, sectionValues, type Track } from '../src/tones/track.ts';

/**
 * The track as one channel hears it, from its closed form: programme weights, gain, delay, clock and white noise.
 * Written for tests of what reads recordings; it shares nothing with the simulated factory but the track itself.
 */
export function playedTrack(of: {
  track: Track;
  sampleRateHz: number;
  leadSeconds: number;
  tailSeconds?: number;
  left?: number;
  right?: number;
  delaySeconds?: number;
  clockPpm?: number;
  noiseRms?: number;
  seed?: number;
  shape?: (value: number) => number;
}): Float32Array {
  const {
    track,
    sampleRateHz,
    leadSeconds,
    left = 1,
    right = 1,
    delaySeconds = 0,
    clockPpm = 0,
    noiseRms = 0,
  } = of;
  const { tailSeconds = 0.5, shape = (value: number) => value } = of;
  const random = seededRandom(of.seed ?? 1);
  const seconds = leadSeconds + track.durationSeconds * (1 + clockPpm * 1e-6) + tailSeconds;
  const samples = new Float32Array(Math.round(seconds * sampleRateHz));
  const weights = { left, right, both: left + right };
  for (const section of track.sections) {
    const weight = weights[sectionProgramme(section)];
    if (weight === 0 && shape(0) === 0) continue;
    const valueAt = sectionValues(section);
    const toFrame = (atSeconds: number) =>
      Math.ceil((leadSeconds + (atSeconds + delaySeconds) * (1 + clockPpm * 1e-6)) * sampleRateHz);
    const end = Math.min(samples.length, toFrame(section.startSeconds + section.durationSeconds));
    for (let n = Math.max(0, toFrame(section.startSeconds)); n < end; n++) {
      const trackSeconds = (n / sampleRateHz - leadSeconds) / (1 + clockPpm * 1e-6) - delaySeconds;
      samples[n] = shape(weight * valueAt(trackSeconds));
    }
  }
  if (noiseRms > 0) for (let n = 0; n < samples.length; n++) samples[n] += noiseRms * random.gaussian();
  return samples;
}
