/** Copper at 20 degrees Celsius, IACS: 1/58 ohm mm2/m (NBS Handbook 100, "Copper Wire Tables"). */
const COPPER_OHM_MM2_PER_METRE = 1 / 58;
/** Copper-clad aluminium, 10 % copper by volume: 62.9 % of copper's conductivity (ASTM B566). */
const CLAD_CONDUCTIVITY = 0.629;

export type WireMetal = 'copper' | 'copper-clad aluminium';

/** Cross-section of a gauge: d = 0.127 x 92^((36 - n) / 39) mm (ASTM B258); 0 is 1/0, -1 is 2/0. */
export function mm2OfAwg(awg: number): number {
  const diameterMm = 0.127 * 92 ** ((36 - awg) / 39);
  return (Math.PI / 4) * diameterMm ** 2;
}

/** The even gauge that has at least this cross-section: what a least size is bought as. */
export function awgFor(mm2: number): number {
  return 2 * Math.floor((exactAwg(mm2) + 0.02) / 2);
}

/** The gauge that comes nearest to a wire that is there. */
export function nearestAwg(mm2: number): number {
  return Math.round(exactAwg(mm2));
}

function exactAwg(mm2: number): number {
  return 36 - 39 * (Math.log(Math.sqrt((4 * mm2) / Math.PI) / 0.127) / Math.log(92));
}

export function wireOhms({ mm2, metres, metal }: { mm2: number; metres: number; metal: WireMetal }): number {
  const conductivity = metal === 'copper' ? 1 : CLAD_CONDUCTIVITY;
  return (COPPER_OHM_MM2_PER_METRE * metres) / (mm2 * conductivity);
}

/** Supply current of an amplifier: output power over efficiency over volts. */
export function supplyCurrentAmps({
  watts,
  efficiency,
  volts,
}: {
  watts: number;
  efficiency: number;
  volts: number;
}): number {
  return watts / efficiency / volts;
}
