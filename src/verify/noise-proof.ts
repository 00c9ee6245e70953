import { findNoise } from '../findings/noise.ts';
import { findingsOf } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { Results } from '../model/results.ts';
import type { Proof } from '../model/verification.ts';
import { noiseShares } from '../recommend/gain-structure.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** Floors vary from take to take, and data sheets with the method (common practice: twice the voltage is a fault). */
const NOISE_TOLERANCE_DB = 6;

/** Noise at the lowest setting recorded, where it is heard most, against what the radio and the parts explain. */
export function noiseProof(recorded: RecordedFeed, plan: Results): Proof {
  const { planned, node, series } = recorded;
  const base = { what: 'noise' as const, unit: 'V RMS' as const, tolerance: NOISE_TOLERANCE_DB };
  const noise = findNoise(series);
  const first = noise?.perSetting[0];
  if (noise === null || first === undefined || isNotMeasurable(first.underQuietToneVolts)) {
    const why =
      first === undefined
        ? 'the full track was not recorded'
        : 'its volts are not known or are the recorder’s own';
    return proof({ ...base, verdict: 'not told', text: `noise not told: ${why}` });
  }
  const found = first.underQuietToneVolts.value;
  const expected = explainedVolts(recorded, plan, first.setting);
  const lines = noise.lines.map(({ frequencyHz }) => `${frequencyHz.toFixed(0)} Hz`).slice(0, 4);
  const heard = `noise ${(1000 * found).toFixed(2)} mV at the ${node}, setting ${first.setting}`;
  if (expected === null) {
    return proof({
      ...base,
      verdict: 'not told',
      setting: first.setting,
      found,
      text: `${heard}; the plan has none to hold it against`,
    });
  }
  const overDb = 20 * Math.log10(found / expected);
  const passes = overDb <= NOISE_TOLERANCE_DB;
  const advice =
    lines.length === 0
      ? 'hiss: the converter’s level higher and the amplifier’s gain lower by as much'
      : `hum or whine (${lines.join(', ')}): look at grounds, isolation and signal wires beside power wires`;
  return proof({
    ...base,
    verdict: passes ? 'pass' : 'fail',
    setting: first.setting,
    expected,
    found,
    knob: passes
      ? null
      : lines.length === 0
        ? planned.amplifier === null
          ? 'converter level'
          : 'amplifier gain'
        : 'ground',
    text: passes ? heard : `${heard}, ${overDb.toFixed(0)} dB more than radio and parts explain: ${advice}`,
  });
}

/** RMS volts at the node from the radio's own noise and the parts' data; null where the radio's is not known. */
function explainedVolts(
  { planned, node }: RecordedFeed,
  { findings, session }: Results,
  setting: number,
): number | null {
  const tapIds = planned.feed.taps.map(({ tapId }) => tapId);
  const atTaps = findingsOf(findings, 'noise')
    .filter((finding) => finding.tapIds.some((id) => tapIds.includes(id)))
    .flatMap(({ perSetting }) => {
      const volts = perSetting.find((one) => one.setting === setting)?.underQuietToneVolts;
      return volts === undefined || isNotMeasurable(volts) ? [] : [volts.value];
    });
  const [toNode, toLine] = [planned.gain(node), planned.gain('converter output')];
  if (atTaps.length < tapIds.length || toNode === null) return null;
  const equipment = session.equipment;
  const amplifier = equipment?.amplifiers.find(({ feeds }) => feeds.includes(planned.feed.output));
  return noiseShares({
    radioVolts: Math.hypot(...atTaps),
    converterVolts: equipment?.converter?.outputNoiseVolts ?? 0,
    amplifierVolts: node === 'amplifier output' ? (amplifier?.inputNoiseVolts ?? 0) : 0,
    gainTapToSpeaker: toNode,
    amplifierGain: node === 'amplifier output' ? toNode / (toLine ?? 1) : 1,
  }).atSpeakerVolts;
}
