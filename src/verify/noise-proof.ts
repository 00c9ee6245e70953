import { decibels } from '../dsp/decibels.ts';
import { findNoise } from '../findings/noise/noise.ts';
import { isNotMeasurable } from '../model/measured.ts';
import type { Proof } from '../model/verification.ts';
import { noiseShares } from '../recommend/chain/gain-structure.ts';
import { proof } from './proof.ts';
import type { RecordedFeed } from './recorded-feed.ts';

/** Floors vary from take to take, and data sheets with the method (common practice: twice the voltage is a fault). */
const NOISE_TOLERANCE_DB = 6;
/** Noise this far below an amplifier's full output is heard in a quiet car, whatever explains it (common practice). */
const HEARD_BELOW_FULL_DB = 60;
/** The strongest say what it is; more only fill the line. */
const MOST_LINES_NAMED = 4;

/** Noise at the lowest setting recorded, where it is heard most, against what the radio and the parts explain. */
export function noiseProof(recorded: RecordedFeed): Proof {
  const { planned, node, series } = recorded;
  const base = { what: 'noise' as const, unit: 'V RMS' as const, tolerance: NOISE_TOLERANCE_DB };
  const noise = findNoise(series);
  const first = noise?.perSetting[0];
  if (noise === null || first === undefined || isNotMeasurable(first.underQuietToneVolts)) {
    const code = first === undefined ? 'noise needs the full track' : 'noise volts are not known';
    return proof({ ...base, verdict: 'not told', text: { code } });
  }
  const found = first.underQuietToneVolts.value;
  const expected = explainedVolts(recorded, first.setting);
  const linesHz = noise.lines.map(({ frequencyHz }) => frequencyHz).slice(0, MOST_LINES_NAMED);
  const heard = { voltsRms: found, node, setting: first.setting };
  const full = node === 'amplifier output' ? (planned.amplifier?.fullOutputVoltsRms ?? null) : null;
  const belowFullDb = full === null ? null : decibels(full / found);
  const isLoud = belowFullDb !== null && belowFullDb < HEARD_BELOW_FULL_DB;
  if (expected === null && !isLoud) {
    return proof({
      ...base,
      verdict: 'not told',
      setting: first.setting,
      found,
      text: { code: 'noise without a plan', ...heard },
    });
  }
  const overDb = expected === null ? null : decibels(found / expected);
  const passes = overDb !== null && overDb <= NOISE_TOLERANCE_DB;
  return proof({
    ...base,
    verdict: passes ? 'pass' : 'fail',
    setting: first.setting,
    expected,
    found,
    knob: passes
      ? null
      : linesHz.length === 0
        ? planned.amplifier === null
          ? 'converter level'
          : 'amplifier gain'
        : 'ground',
    text: passes
      ? { code: 'noise is explained', ...heard }
      : { code: 'noise is too much', ...heard, overDb, belowFullDb, linesHz },
  });
}

/** RMS volts at the node from the radio's own noise and the parts' data; null where the radio's is known at no setting. */
function explainedVolts({ planned, node }: RecordedFeed, setting: number): number | null {
  const { radioVolts, converterVolts, amplifierVolts } = planned.noise;
  const fromRadio = radioVolts(setting);
  const [toNode, toLine] = [planned.gain(node), planned.gain('converter output')];
  if (fromRadio === null || toNode === null) return null;
  const isAmplifier = node === 'amplifier output';
  return noiseShares({
    radioVolts: fromRadio,
    converterVolts,
    amplifierVolts: isAmplifier ? amplifierVolts : 0,
    gainTapToSpeaker: toNode,
    amplifierGain: isAmplifier ? toNode / (toLine ?? 1) : 1,
  }).atSpeakerVolts;
}
