import type { Amplifier, SupplyWire } from '../../model/equipment.ts';
import type { RecommendationOf } from '../../model/recommendation.ts';
import type { PlanContext } from '../plan-context.ts';
import { awgFor, mm2OfAwg, supplyCurrentAmps, type WireMetal, wireOhms } from './wire.ts';

type Supply = RecommendationOf<'supply'>;

/** Most of the supply that the wire may take at rated power (common practice: half a volt of 14.4). */
const MOST_DROP_RATIO = 0.035;
/** Metric sizes of IEC 60228. */
const METRIC_MM2 = [2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95] as const;
/** Fuses made for supply wires (common practice: blade, maxi and bolt-down types together). */
const FUSES_AMPS = [10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 125, 150, 200, 250, 300] as const;
/**
 * Current density that a fuse allows a short copper wire in a car (common practice, on the careful side; the wire's maker
 * and local codes go before it). Clad wire carries less by its conductivity.
 */
const FUSE_AMPS_PER_MM2: Readonly<Record<WireMetal, number>> = { copper: 5, 'copper-clad aluminium': 3.1 };
const MOST_FUSE_DISTANCE_METRES = 0.45;
const USUAL_SUPPLY_VOLTS = 14.4;

/** Current at rated power, what the wire loses of it, the thinnest wire that will do, and the fuse for the wire. */
export function supplyCheck({ equipment }: PlanContext): Supply[] {
  if (equipment === null || equipment.amplifiers.length === 0) return [];
  const wire = equipment.supplyWire;
  const supplyVolts = wire?.supplyVolts ?? USUAL_SUPPLY_VOLTS;
  const currentAmps = equipment.amplifiers.reduce(
    (total, amplifier) => total + ratedCurrent(amplifier, supplyVolts),
    0,
  );
  return [
    {
      kind: 'supply',
      id: 'supply',
      order: 0,
      restsOn: [],
      reasons: [
        'at rated power of all channels; music draws a third of it or less, but the fuse and the wire must stand it',
      ],
      currentAmps,
      supplyVolts,
      wire: wire === null ? null : wireCheck(wire, currentAmps),
      thinnest: wire === null ? null : thinnestWires(wire, currentAmps),
      fuseAmps: wire === null || mm2Of(wire) === null ? null : fuseFor(mm2Of(wire)!, wire.metal),
      cautions: cautions(wire, currentAmps),
    },
  ];
}

function ratedCurrent({ ratedWatts, channels, efficiency }: Amplifier, volts: number): number {
  return supplyCurrentAmps({ watts: ratedWatts * channels, efficiency, volts });
}

function wireCheck(wire: SupplyWire, currentAmps: number): Supply['wire'] {
  const mm2 = mm2Of(wire);
  if (mm2 === null) return null;
  const dropVolts = currentAmps * wireOhms({ mm2, metres: lengthOf(wire), metal: wire.metal });
  return {
    mm2,
    nearestAwg: wire.awg ?? awgFor(mm2),
    dropVolts,
    dropPercent: (100 * dropVolts) / wire.supplyVolts,
    lossWatts: dropVolts * currentAmps,
    verdict:
      dropVolts <= MOST_DROP_RATIO * wire.supplyVolts && currentAmps <= fuseFor(mm2, wire.metal)
        ? 'enough'
        : 'too thin',
  };
}

/** Thin enough to pay for, thick enough for the drop and for a fuse that carries the current. */
export function thinnestWires(wire: SupplyWire, currentAmps: number): NonNullable<Supply['thinnest']> {
  const least = (metal: WireMetal) => {
    const forDrop =
      (currentAmps * wireOhms({ mm2: 1, metres: lengthOf(wire), metal })) /
      (MOST_DROP_RATIO * wire.supplyVolts);
    return Math.max(forDrop, currentAmps / FUSE_AMPS_PER_MM2[metal]);
  };
  const metric = (mm2: number) => METRIC_MM2.find((size) => size >= mm2) ?? Math.ceil(mm2);
  const [copper, clad] = [least('copper'), least('copper-clad aluminium')];
  return {
    copperMm2: metric(copper),
    copperAwg: awgFor(copper),
    cladMm2: metric(clad),
    cladAwg: awgFor(clad),
  };
}

/** The largest fuse that still protects the wire: rated for the wire, not for the amplifier. */
function fuseFor(mm2: number, metal: WireMetal): number {
  return FUSES_AMPS.findLast((amps) => amps <= mm2 * FUSE_AMPS_PER_MM2[metal] * ROUNDING) ?? FUSES_AMPS[0];
}

/** A gauge a little under a metric size counts as that size. */
const ROUNDING = 1.06;

function cautions(wire: SupplyWire | null, currentAmps: number): string[] {
  const fuse = wire?.fuseAmps;
  const mm2 = wire === null ? null : mm2Of(wire);
  return [
    ...(wire !== null && fuse !== undefined && mm2 !== null && fuse > fuseFor(mm2, wire.metal)
      ? [`a ${fuse} A fuse does not protect this wire: ${fuseFor(mm2, wire.metal)} A is the most for it`]
      : []),
    ...(fuse !== undefined && fuse < currentAmps
      ? [`a ${fuse} A fuse blows at rated power: ${currentAmps.toFixed(0)} A`]
      : []),
    ...(wire?.fuseDistanceMetres !== undefined && wire.fuseDistanceMetres > MOST_FUSE_DISTANCE_METRES
      ? ['move the main fuse to within 45 cm (18 in) of the battery: the wire before it is unprotected']
      : []),
    ...(wire?.metal === 'copper-clad aluminium'
      ? ['copper-clad aluminium needs crimps made for it and about 1.6 times the cross-section of copper']
      : []),
    'disconnect the battery before wiring; keep away from airbag connectors and orange cables',
    'ground to bare chassis metal, not to a battery post that carries a current sensor; ferrules on stranded wire under set screws',
    'the maker’s service information, local codes and licensed practice come before these figures',
  ];
}

function mm2Of({ mm2, awg }: SupplyWire): number | null {
  return mm2 ?? (awg === undefined ? null : mm2OfAwg(awg));
}

function lengthOf({ lengthMetres, return: way }: SupplyWire): number {
  return way === 'wire' ? 2 * lengthMetres : lengthMetres;
}
