import type { Random } from '../dsp/random.ts';
import { type PlannedFile, trackOf } from './file-plan.ts';
import { muteGain } from './mute-gain.ts';
import { sampledNoiseFactor } from './record.ts';
import type { Scenario } from './scenario.ts';
import type { SimulatedTap } from './simulated-tap.ts';
import { noiseVoltsRms } from './tap-levels.ts';
import { samplesPerTrackSecond } from './tap-signal.ts';

/** Hiss at the level of the take that plays, or played last; muted with the signal where the radio mutes itself. */
export function addHiss(
  volts: Float64Array,
  {
    scenario,
    planned,
    tap,
    random,
  }: { scenario: Scenario; planned: PlannedFile; tap: SimulatedTap; random: Random },
): void {
  const rateHz = scenario.recorder.sampleRateHz;
  const track = trackOf(scenario);
  const { takes } = planned;
  let from = 0;
  takes.forEach(({ setting, startSeconds }, i) => {
    const to = i + 1 < takes.length ? Math.round(takes[i + 1].startSeconds * rateHz) : volts.length;
    const sigma = noiseVoltsRms(tap, setting) * sampledNoiseFactor(rateHz);
    random.addGaussian(volts, { sigma, from, to });
    if (tap.muteInSilence !== null) {
      for (let n = from; n < to; n++)
        volts[n] *= muteGain(track, tap.muteInSilence, n / rateHz - startSeconds);
    }
    from = Math.max(from, to);
  });
}

/** Hiss of a radio that plays nothing at a setting. */
export function addSteadyHiss(
  volts: Float64Array,
  {
    scenario,
    tap,
    setting,
    random,
  }: { scenario: Scenario; tap: SimulatedTap; setting: number; random: Random },
): void {
  const sigma = noiseVoltsRms(tap, setting) * sampledNoiseFactor(scenario.recorder.sampleRateHz);
  random.addGaussian(volts, { sigma });
}

/** What turns with the engine, with harmonics 2, 3, ... at a half, a third, ... of the level. */
export function addEngineLines(
  volts: Float64Array,
  { tap, scenario, rpm }: { tap: SimulatedTap; scenario: Scenario; rpm: number },
): void {
  if (rpm === 0) return;
  const lines = tap.engineLines.map(({ perRevolution, ...line }) => ({
    ...line,
    frequencyHz: (perRevolution * rpm) / 60,
  }));
  addLines(volts, { lines }, scenario);
}

/** Hum and whine, with harmonics 2, 3, ... at a half, a third, ... of the level. */
export function addLines(
  volts: Float64Array,
  { lines }: Pick<SimulatedTap, 'lines'>,
  scenario: Scenario,
): void {
  const samplesPerSecond = samplesPerTrackSecond(scenario);
  for (const line of lines) {
    for (let harmonic = 1; harmonic <= line.harmonics; harmonic++) {
      const frequencyHz = line.frequencyHz * harmonic;
      addSine(volts, { frequencyHz, voltsRms: line.voltsRms / harmonic, samplesPerSecond });
    }
  }
}

/** By turning a phasor from sample to sample: after an hour its error is still below a millionth. */
export function addSine(
  volts: Float64Array,
  sine: { frequencyHz: number; voltsRms: number; samplesPerSecond: number },
): void {
  const step = (2 * Math.PI * sine.frequencyHz) / sine.samplesPerSecond;
  const [turnReal, turnImag] = [Math.cos(step), Math.sin(step)];
  let real = sine.voltsRms * Math.SQRT2;
  let imag = 0;
  for (let n = 0; n < volts.length; n++) {
    volts[n] += imag;
    const before = real;
    real = before * turnReal - imag * turnImag;
    imag = before * turnImag + imag * turnReal;
  }
}
