/** What a vehicle's supply does, by its nominal volts (common practice; 24 V systems are two batteries of 12 V in series). */
interface SupplySystem {
  readonly nominalVolts: 12 | 24;
  /** A rested battery with the engine off. */
  readonly engineOffVolts: number;
  /** At or above this the engine charges it. */
  readonly engineRunsVolts: number;
  /** Charging systems reach this: 12.2 to 15 V with smart charging. */
  readonly highestVolts: number;
}

const TWELVE: SupplySystem = {
  nominalVolts: 12,
  engineOffVolts: 12.6,
  engineRunsVolts: 13.2,
  highestVolts: 15,
};
/** No 12 V system gets here, and no 24 V system falls to it. */
const TWENTY_FOUR_FROM_VOLTS = 18;

/** By the supply that was read; 12 V where nobody read it. */
export function supplySystem(volts: number | null): SupplySystem {
  if (volts === null || volts < TWENTY_FOUR_FROM_VOLTS) return TWELVE;
  return {
    nominalVolts: 24,
    engineOffVolts: 2 * TWELVE.engineOffVolts,
    engineRunsVolts: 2 * TWELVE.engineRunsVolts,
    highestVolts: 2 * TWELVE.highestVolts,
  };
}
