import { decibels } from './decibels.ts';

/** A resistor in series, one across the output, and what is connected. */
interface Divider {
  readonly sourceOhms: number;
  readonly seriesOhms: number;
  readonly shuntOhms: number;
  /** Infinity where nothing is connected. */
  readonly loadOhms: number;
}

interface DividerAt {
  readonly outputVolts: number;
  /** Output over the source's open-circuit volts, decibels. */
  readonly lossDb: number;
  /** What the source sees. */
  readonly inputOhms: number;
  /** What the load sees, looking back. */
  readonly outputOhms: number;
  readonly seriesWatts: number;
  readonly shuntWatts: number;
}

/** Ohm's law for a loaded divider: Vo = V p / (Rs + R1 + p) with p = R2 || RL. */
export function dividerAt(
  { sourceOhms, seriesOhms, shuntOhms, loadOhms }: Divider,
  sourceVolts: number,
): DividerAt {
  const loaded = 1 / (1 / shuntOhms + 1 / loadOhms);
  const current = sourceVolts / (sourceOhms + seriesOhms + loaded);
  const outputVolts = current * loaded;
  return {
    outputVolts,
    lossDb: decibels(outputVolts / sourceVolts),
    inputOhms: seriesOhms + loaded,
    outputOhms: 1 / (1 / shuntOhms + 1 / (sourceOhms + seriesOhms)),
    seriesWatts: current ** 2 * seriesOhms,
    shuntWatts: outputVolts ** 2 / shuntOhms,
  };
}
