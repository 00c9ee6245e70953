/** A resistor divider from a tap to a recorder. */
export interface Pad {
  /** All series resistance between tap and recorder, both wires together. */
  readonly seriesOhms: number;
  /** Across the recorder's input. */
  readonly shuntOhms: number;
}

export interface PadLoad {
  /** Volts RMS of the source with nothing connected, and what is behind it. */
  readonly sourceVolts: number;
  readonly sourceOhms: number;
  /** The recorder's input; Infinity where it takes nothing. */
  readonly recorderOhms: number;
}

export interface PadFigures {
  readonly recorderVolts: number;
  readonly gainDb: number;
  /** What the tap is loaded with. */
  readonly inputOhms: number;
  readonly seriesWatts: number;
  readonly shuntWatts: number;
}

/**
 * Voltage and dissipation of a pad: Ohm's law on a loaded divider, Vo = V p / (Rs + R1 + p) with p = R2 || RL.
 */
export function padFigures(
  { seriesOhms, shuntOhms }: Pad,
  { sourceVolts, sourceOhms, recorderOhms }: PadLoad,
): PadFigures {
  const loadedShuntOhms = 1 / (1 / shuntOhms + 1 / recorderOhms);
  const amperes = sourceVolts / (sourceOhms + seriesOhms + loadedShuntOhms);
  const recorderVolts = amperes * loadedShuntOhms;
  return {
    recorderVolts,
    gainDb: 20 * Math.log10(recorderVolts / sourceVolts),
    inputOhms: seriesOhms + loadedShuntOhms,
    seriesWatts: amperes ** 2 * seriesOhms,
    shuntWatts: recorderVolts ** 2 / shuntOhms,
  };
}
