import { findNoise } from '../findings/noise/noise.ts';
import { findingsOf } from '../model/finding.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { Results } from '../model/results.ts';
import type { Proof } from '../model/verification.ts';
import { noiseShares } from '../recommend/chain/gain-structure.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** Floors vary from take to take, and data sheets with the method (common practice: twice the voltage is a fault). */
const NOISE_TOLERANCE_DB = 6;
/** Noise this far below an amplifier's full output is heard in a quiet car, whatever explains it (common practice). */
const HEARD_BELOW_FULL_DB = 60;

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
  const heard = `noise ${Number((1000 * found).toPrecision(3))} mV at the ${node}, setting ${first.setting}`;
  const full = node === 'amplifier output' ? (planned.amplifier?.fullOutputVoltsRms ?? null) : null;
  const belowFullDb = full === null ? null : 20 * Math.log10(full / found);
  const isLoud = belowFullDb !== null && belowFullDb < HEARD_BELOW_FULL_DB;
  if (expected === null && !isLoud) {
    return proof({
      ...base,
      verdict: 'not told',
      setting: first.setting,
      found,
      text: `${heard}; the plan has none to hold it against`,
    });
  }
  const overDb = expected === null ? null : 20 * Math.log10(found / expected);
  const passes = overDb !== null && overDb <= NOISE_TOLERANCE_DB;
  const than =
    overDb === null
      ? `only ${belowFullDb?.toFixed(0)} dB below full output`
      : `${overDb.toFixed(0)} dB more than radio and parts explain`;
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
    text: passes ? heard : `${heard}, ${than}: ${advice}`,
  });
}

/** RMS volts at the node from the radio's own noise and the parts' data; null where the radio's is known at no setting. */
function explainedVolts(
  { planned, node }: RecordedFeed,
  { findings, session }: Results,
  setting: number,
): number | null {
  const tapIds = planned.feed.taps.map(({ tapId }) => tapId);
  const atTaps = findingsOf(findings, 'noise')
    .filter((finding) => finding.tapIds.some((id) => tapIds.includes(id)))
    .flatMap(({ perSetting }) => {
      const known = perSetting.flatMap(({ setting: at, underQuietToneVolts: volts }) =>
        isNotMeasurable(volts) ? [] : [{ awayBy: Math.abs(at - setting), volts: volts.value }],
      );
      // Not every setting was recorded with the full track.
      const [nearest] = known.sort((a, b) => a.awayBy - b.awayBy);
      return nearest === undefined ? [] : [nearest.volts];
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
