import type { Limit } from '../install/cannot-be-done.ts';
import type { GainChain } from './gain-chain.ts';

/** Less than this is within what a knob can be set to. */
const KNOB_DB = 0.1;

/** Where the converter's or the amplifier's ranges end before the plan does. */
export function limitsOfParts(chain: GainChain): Limit[] {
  return [...converterRange(chain), ...amplifierRange(chain), ...lowestLoad(chain)];
}

function converterRange({
  converter,
  gainShortDb,
  output,
  lineVoltsAtWorst,
  lineLimitVolts,
}: GainChain): Limit[] {
  if (converter === null || Math.abs(gainShortDb) < KNOB_DB) return [];
  const [lowest, highest] = converter.gainRangeDb;
  const tooWeak = gainShortDb > 0;
  return [
    {
      wanted: `${lineLimitVolts.toFixed(1)} V at the converter’s output for ${output}`,
      bindingLimit: `its gain reaches from ${lowest} to ${highest} dB`,
      nearest: tooWeak
        ? `gain fully up: ${lineVoltsAtWorst.toFixed(2)} V, and more gain at the amplifier`
        : `gain fully down: it clips ${(-gainShortDb).toFixed(1)} dB below the highest clean setting; put a pad in front`,
      otherClass: tooWeak ? 'a converter with more gain' : null,
      restsOn: [],
    },
  ];
}

function amplifierRange({ amplifier, stage, output }: GainChain): Limit[] {
  if (amplifier === null || stage === null || stage.inRange) return [];
  const [most, least] = amplifier.sensitivityRangeVoltsRms;
  const tooWeak = stage.sensitivityVolts < most;
  return [
    {
      wanted: `full output of ${amplifier.name} (${output})`,
      bindingLimit: `a sensitivity of ${stage.sensitivityVolts.toFixed(2)} V, its range is ${most} to ${least} V`,
      nearest: tooWeak
        ? `gain fully up: ${(20 * Math.log10(most / stage.sensitivityVolts)).toFixed(1)} dB less than full output`
        : 'gain fully down, and the converter lower',
      otherClass: tooWeak ? 'a converter with a higher output' : null,
      restsOn: [],
    },
  ];
}

function lowestLoad({ amplifier, stage }: GainChain): Limit[] {
  const lowestOhms = amplifier?.lowestOhms;
  if (lowestOhms === undefined || stage === null || stage.loadOhms >= lowestOhms) return [];
  return [
    {
      wanted: `${stage.loadOhms} ohm on ${amplifier!.name}`,
      bindingLimit: `its lowest load is ${lowestOhms} ohm`,
      nearest: 'wire the voice coils in series, or take another woofer',
      otherClass: null,
      restsOn: [],
    },
  ];
}
