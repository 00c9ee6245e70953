import type { ChainSupply } from '../../model/chain.ts';
import type { Amplifier, Equipment, Output, SupplyWire } from '../../model/equipment.ts';
import { supplySystem } from '../install/supply-system.ts';
import { mm2OfAwg, supplyCurrentAmps, type WireMetal } from '../install/wire.ts';
import { chainLoad } from './chain-load.ts';

/** Fuses made for supply wires (common practice: blade, maxi and bolt-down types together). */
const FUSES_AMPS = [10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150, 200, 250, 300] as const;
/**
 * Current density that a fuse allows a short copper wire in a car (common practice, on the careful side; the wire's maker
 * and local codes go before it). Clad wire carries less by its conductivity.
 */
export const FUSE_AMPS_PER_MM2: Readonly<Record<WireMetal, number>> = {
  copper: 5,
  'copper-clad aluminium': 3.1,
};
/** A gauge a little under a metric size counts as that size. */
const ROUNDING = 1.06;
const USUAL_SUPPLY_VOLTS = 14.4;
/** Mean power of music against full output: one eighth (IEC 62368-1 takes it for normal operation of amplifiers; from memory). */
const MUSIC_POWER_RATIO = 1 / 8;

/**
 * What the amplifiers can be made to draw into the loads really connected, and the fuses that follow. Null without
 * amplifiers. An amplifier is taken for a source of its rated volts: into less than its rated load it delivers more, and
 * whoever turns it up gets it.
 */
export function chainSupply(
  equipment: Equipment | null,
  readSupplyVolts: number | null = null,
): ChainSupply | null {
  if (equipment === null || equipment.amplifiers.length === 0) return null;
  const { supplyWire: wire } = equipment;
  const usual =
    supplySystem(readSupplyVolts).nominalVolts === 24 ? 2 * USUAL_SUPPLY_VOLTS : USUAL_SUPPLY_VOLTS;
  const supplyVolts = wire === null || isLeftAtTwelve(wire, readSupplyVolts) ? usual : wire.supplyVolts;
  const amplifiers = equipment.amplifiers.map((amplifier) => {
    const mostWatts = mostDelivered(equipment, amplifier);
    const currentAmps = supplyCurrentAmps({
      watts: mostWatts,
      efficiency: amplifier.efficiency,
      volts: supplyVolts,
    });
    return { name: amplifier.name, mostWatts, currentAmps, fuseAmps: fuseAtLeast(currentAmps) };
  });
  const fullCurrentAmps = amplifiers.reduce((total, { currentAmps }) => total + currentAmps, 0);
  const mm2 = wire === null ? null : mm2Of(wire);
  const fuseAtMostAmps = wire === null || mm2 === null ? null : fuseForWire(mm2, wire.metal);
  const fuseAtLeastAmps = fuseAtLeast(fullCurrentAmps);
  return {
    supplyVolts,
    amplifiers,
    fullCurrentAmps,
    musicCurrentAmps: fullCurrentAmps * MUSIC_POWER_RATIO,
    fuseAtMostAmps,
    fuseAtLeastAmps,
    fuseAmps: fuseAtMostAmps === null || fuseAtMostAmps < fuseAtLeastAmps ? null : fuseAtLeastAmps,
    fittedFuse:
      wire?.fuseAmps === undefined
        ? null
        : { amps: wire.fuseAmps, verdict: judged(wire.fuseAmps, { fullCurrentAmps, fuseAtMostAmps }) },
    groundMm2: mm2,
  };
}

/** Nobody wrote it: the 12 V that a wire has by default, in a vehicle of 24 V. */
function isLeftAtTwelve({ supplyVolts }: SupplyWire, readSupplyVolts: number | null): boolean {
  return supplyVolts === USUAL_SUPPLY_VOLTS && supplySystem(readSupplyVolts).nominalVolts === 24;
}

/** All channels driven to clipping into what is connected to each. */
export function mostDelivered(equipment: Equipment, amplifier: Amplifier): number {
  const loads = amplifier.feeds.map((output) => ({
    channels: CHANNELS_OF[output],
    ohms: chainLoad(equipment, { output, amplifier }).lowestOhms,
  }));
  const squared = amplifier.ratedWatts * amplifier.ratedOhms;
  const listed = loads.reduce((total, { channels }) => total + channels, 0);
  // Channels that nobody assigned hang on the lowest of the loads.
  const lowest = Math.min(...loads.map(({ ohms }) => ohms));
  const inUse = Math.min(listed, amplifier.channels);
  const assigned = listed === inUse ? loads : [{ channels: inUse, ohms: lowest }];
  const spare = amplifier.channels - inUse;
  return [...assigned, { channels: spare, ohms: lowest }].reduce(
    (watts, { channels, ohms }) => watts + (channels * squared) / ohms,
    0,
  );
}

/** Left and right where there are two (common practice). */
const CHANNELS_OF: Readonly<Record<Output, number>> = { front: 2, rear: 2, centre: 1, subwoofer: 1 };

function judged(
  amps: number,
  { fullCurrentAmps, fuseAtMostAmps }: Pick<ChainSupply, 'fullCurrentAmps' | 'fuseAtMostAmps'>,
): NonNullable<ChainSupply['fittedFuse']>['verdict'] {
  if (fuseAtMostAmps !== null && amps > fuseAtMostAmps) return 'too large';
  return amps < fullCurrentAmps ? 'too small' : 'right';
}

function fuseAtLeast(amps: number): number {
  return FUSES_AMPS.find((size) => size >= amps) ?? Math.ceil(amps / 50) * 50;
}

/** The largest fuse that still protects the wire. */
export function fuseForWire(mm2: number, metal: WireMetal): number {
  return FUSES_AMPS.findLast((amps) => amps <= mm2 * FUSE_AMPS_PER_MM2[metal] * ROUNDING) ?? FUSES_AMPS[0];
}

export function mm2Of({ mm2, awg }: SupplyWire): number | null {
  return mm2 ?? (awg === undefined ? null : mm2OfAwg(awg));
}
