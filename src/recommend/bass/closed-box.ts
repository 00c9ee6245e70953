import { decibels, decibelsOfPower } from '../../dsp/decibels.ts';

/** A woofer's small-signal figures and its box (Small, "Closed-Box Loudspeaker Systems", JAES 1972). */
interface ClosedBoxParts {
  readonly resonanceHz: number;
  readonly qts: number;
  readonly vasLitres: number;
  readonly boxLitres: number;
}

export interface ClosedBox {
  readonly resonanceHz: number;
  readonly q: number;
  readonly minus3Hz: number;
  /** 0 where the response has no peak (Q at or under 0.7071). */
  readonly peakDb: number;
  readonly peakHz: number | null;
}

/** fc = fs sqrt(1 + Vas/Vb), Qtc likewise; -3 dB point and peak of the second-order high-pass that follows. */
export function closedBox({ resonanceHz, qts, vasLitres, boxLitres }: ClosedBoxParts): ClosedBox {
  const stiffer = Math.sqrt(1 + vasLitres / boxLitres);
  const fc = resonanceHz * stiffer;
  const q = qts * stiffer;
  const a = 1 / q ** 2 - 2;
  const peaks = q > Math.SQRT1_2;
  return {
    resonanceHz: fc,
    q,
    minus3Hz: fc * Math.sqrt((a + Math.sqrt(a ** 2 + 4)) / 2),
    peakDb: peaks ? decibels(q ** 2 / Math.sqrt(q ** 2 - 0.25)) : 0,
    peakHz: peaks ? fc / Math.sqrt(1 - 1 / (2 * q ** 2)) : null,
  };
}

/** Level of the closed box against its pass band, decibels. */
export function closedBoxDb({ resonanceHz, q }: ClosedBox, frequencyHz: number): number {
  const ratio = frequencyHz / resonanceHz;
  return decibelsOfPower(ratio ** 4 / ((1 - ratio ** 2) ** 2 + (ratio / q) ** 2));
}

/** Sound pressure of one acoustic watt at 1 m on a half space (density 1.18 kg/m3, c 345 m/s). */
export const ONE_ACOUSTIC_WATT_DB = 112.095;
const SPEED_OF_SOUND = 345;

/**
 * Acoustic over electrical power in the pass band: 4 pi^2 / c^3 fs^3 Vas / Qes (Small 1972). Qts stands for Qes, which is
 * a little higher: the efficiency comes out on the high side, and with it the travel, which is the careful side.
 */
export function referenceEfficiency({
  resonanceHz,
  qts,
  vasLitres,
}: Omit<ClosedBoxParts, 'boxLitres'>): number {
  return ((4 * Math.PI ** 2) / SPEED_OF_SOUND ** 3) * ((resonanceHz ** 3 * vasLitres * 1e-3) / qts);
}
