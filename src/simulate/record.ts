import { filterInPlace, toBiquads } from '../dsp/biquad.ts';
import { ratioOf } from '../dsp/decibels.ts';
import { prototypeSections } from '../dsp/filter-prototype.ts';
import type { Random } from '../dsp/random.ts';
import { hardClipInPlace } from './hard-clip.ts';
import { addKnock, applyAutomaticGain } from './recorder-habits.ts';
import type { Scenario } from './scenario.ts';
import { NOISE_BANDWIDTH_HZ } from './tap-levels.ts';
import { samplesPerTrackSecond } from './tap-signal.ts';

/**
 * The recorder: pad, coupling, own noise, knocks, automatic gain, full scale, dither and bits.
 *
 * @param volts at the pad's input; changed in place
 * @returns samples of the file, exact in its format: 1 is full scale
 */
export function record(
  volts: Float64Array,
  { scenario, file, random }: { scenario: Scenario; file: string; random: Random },
): Float32Array {
  const { padRatio, fullScaleVoltsRms, couplingHz, noiseDbFs, dcOffset, sampleRateHz, bits } =
    scenario.recorder;
  const { automaticGain, knocks, couplingOrder, inputClipDbFs } = scenario.recorder;
  if (couplingHz !== null) {
    const sections = prototypeSections({ family: 'butterworth', order: couplingOrder, side: 'high-pass' });
    filterInPlace(
      volts,
      toBiquads(sections, { cornerHz: couplingHz, sampleRateHz: samplesPerTrackSecond(scenario) }),
    );
  }
  const scale = 1 / (padRatio * fullScaleVoltsRms * Math.SQRT2);
  if (inputClipDbFs !== null) hardClipInPlace(volts, ratioOf(inputClipDbFs) / scale);
  const noise = (ratioOf(noiseDbFs) / Math.SQRT2) * sampledNoiseFactor(sampleRateHz);
  for (let n = 0; n < volts.length; n++) volts[n] = volts[n] * scale + dcOffset;
  random.addGaussian(volts, { sigma: noise });
  for (const knock of knocks) {
    if (knock.file === undefined || knock.file === file) addKnock(volts, knock, sampleRateHz);
  }
  if (automaticGain !== null) applyAutomaticGain(volts, automaticGain, sampleRateHz);
  // A float recorder rounds nothing, and has no full scale to clip at.
  return bits === '32f' ? Float32Array.from(volts) : random.dithered(volts, 2 ** (Number(bits) - 1));
}

/** White noise of a given RMS in 24 kHz has this times that RMS in all of the sampled band. */
export function sampledNoiseFactor(sampleRateHz: number): number {
  return Math.sqrt(sampleRateHz / 2 / NOISE_BANDWIDTH_HZ);
}
