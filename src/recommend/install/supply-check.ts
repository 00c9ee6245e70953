import type { ChainSupply } from '../../model/chain.ts';
import type { SupplyWire } from '../../model/equipment.ts';
import type { Reason } from '../../model/reason.ts';
import type { AdviceOf } from '../../model/recommendation.ts';
import { FUSE_AMPS_PER_MM2, fuseForWire, mm2Of } from '../chain/chain-supply.ts';
import type { PlanContext } from '../plan-context.ts';
import { supplySystem } from './supply-system.ts';
import { awgFor, nearestAwg, type WireMetal, wireOhms } from './wire.ts';

type Supply = AdviceOf<'supply'>;

/** Most of the supply that the wire may take at full output (common practice: half a volt of 14.4). */
const MOST_DROP_RATIO = 0.035;
/** Metric sizes of IEC 60228. */
const METRIC_MM2 = [2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95] as const;
const MOST_FUSE_DISTANCE_METRES = 0.45;

/** What the chain's currents ask of the wire: its drop, the thinnest that will do, the cautions at it. */
export function supplyCheck({ equipment }: PlanContext, figures: ChainSupply | null): Supply[] {
  if (figures === null) return [];
  const wire = equipment?.supplyWire ?? null;
  const { fullCurrentAmps, supplyVolts, fuseAtMostAmps } = figures;
  return [
    {
      kind: 'supply',
      id: 'supply',
      restsOn: [],
      reasons: [{ code: 'supply for the most' }],
      currentAmps: fullCurrentAmps,
      supplyVolts,
      wire: wire === null ? null : wireCheck(wire, figures),
      thinnest: wire === null ? null : thinnestWires(wire, { currentAmps: fullCurrentAmps, supplyVolts }),
      fuseAmps: fuseAtMostAmps,
      figures,
      cautions: cautions(wire, figures),
    },
  ];
}

function wireCheck(
  wire: SupplyWire,
  { fullCurrentAmps: currentAmps, supplyVolts }: ChainSupply,
): Supply['wire'] {
  const mm2 = mm2Of(wire);
  if (mm2 === null) return null;
  const dropVolts = currentAmps * wireOhms({ mm2, metres: lengthOf(wire), metal: wire.metal });
  return {
    mm2,
    nearestAwg: wire.awg ?? nearestAwg(mm2),
    dropVolts,
    dropPercent: (100 * dropVolts) / supplyVolts,
    lossWatts: dropVolts * currentAmps,
    verdict:
      dropVolts <= MOST_DROP_RATIO * supplyVolts && currentAmps <= fuseForWire(mm2, wire.metal)
        ? 'enough'
        : 'too thin',
  };
}

/** Thin enough to pay for, thick enough for the drop and for a fuse that carries the current. */
export function thinnestWires(
  wire: SupplyWire,
  { currentAmps, supplyVolts }: { readonly currentAmps: number; readonly supplyVolts: number },
): NonNullable<Supply['thinnest']> {
  const least = (metal: WireMetal) => {
    const forDrop =
      (currentAmps * wireOhms({ mm2: 1, metres: lengthOf(wire), metal })) / (MOST_DROP_RATIO * supplyVolts);
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

function cautions(wire: SupplyWire | null, figures: ChainSupply): Reason[] {
  const { fittedFuse, fuseAtMostAmps, fuseAtLeastAmps, fullCurrentAmps, groundMm2, amplifiers } = figures;
  const items: (Reason | null)[] = [
    fittedFuse?.verdict === 'too large'
      ? { code: 'fuse too large', amps: fittedFuse.amps, atMostAmps: fuseAtMostAmps! }
      : null,
    fittedFuse?.verdict === 'too small'
      ? { code: 'fuse too small', amps: fittedFuse.amps, currentAmps: fullCurrentAmps }
      : null,
    fuseAtMostAmps !== null && fuseAtMostAmps < fuseAtLeastAmps
      ? { code: 'no fuse fits', atMostAmps: fuseAtMostAmps, atLeastAmps: fuseAtLeastAmps }
      : null,
    wire?.fuseDistanceMetres !== undefined && wire.fuseDistanceMetres > MOST_FUSE_DISTANCE_METRES
      ? { code: 'move the fuse' }
      : null,
    supplySystem(figures.supplyVolts).nominalVolts === 24
      ? { code: 'parts for 24 V', volts: figures.supplyVolts }
      : null,
    amplifiers.length > 1
      ? {
          code: 'fuses at the split',
          branches: amplifiers.map(({ name, fuseAmps }) => ({ amplifier: name, fuseAmps })),
        }
      : null,
    groundMm2 === null ? { code: 'ground as thick' } : { code: 'ground wire', mm2: groundMm2 },
    wire?.metal === 'copper-clad aluminium' ? { code: 'clad wire' } : null,
    { code: 'charging system' },
    { code: 'battery off' },
    { code: 'ground to bare metal' },
    { code: 'codes come first' },
  ];
  return items.filter((item) => item !== null);
}

function lengthOf({ lengthMetres, return: way }: SupplyWire): number {
  return way === 'wire' ? 2 * lengthMetres : lengthMetres;
}
