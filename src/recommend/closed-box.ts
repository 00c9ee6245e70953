/** A woofer's small-signal figures and its box (Small, "Closed-Box Loudspeaker Systems", JAES 1972). */
export interface ClosedBoxParts {
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
    peakDb: peaks ? 20 * Math.log10(q ** 2 / Math.sqrt(q ** 2 - 0.25)) : 0,
    peakHz: peaks ? fc / Math.sqrt(1 - 1 / (2 * q ** 2)) : null,
  };
}

/** Level of the closed box against its pass band, decibels. */
export function closedBoxDb({ resonanceHz, q }: ClosedBox, frequencyHz: number): number {
  const ratio = frequencyHz / resonanceHz;
  return 10 * Math.log10(ratio ** 4 / ((1 - ratio ** 2) ** 2 + (ratio / q) ** 2));
}
