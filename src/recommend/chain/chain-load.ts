import type { ChainFeed } from '../../model/chain.ts';
import type { Amplifier, Equipment, Output, Speaker } from '../../model/equipment.ts';

export interface ChainLoad {
  readonly load: NonNullable<ChainFeed['load']>;
  /** The least that the channel sees at any frequency: a tweeter in parallel counts from its capacitor up. */
  readonly lowestOhms: number;
  /** The most that it stands, volts RMS at its terminals; infinite where nobody noted a rating. */
  readonly ratedVolts: number;
  /** Whether somebody said what is connected; if not, the load at which the amplifier is rated stands for it. */
  readonly isGiven: boolean;
}

/** What hangs on one channel of an output's amplifier: the woofers all together, or the speaker of one side. */
export function chainLoad(
  { woofer, speakers }: Pick<Equipment, 'woofer' | 'speakers'>,
  { output, amplifier }: { readonly output: Output; readonly amplifier: Amplifier | null },
): ChainLoad {
  const given = amplifier?.loadOhms;
  if (output === 'subwoofer' && woofer !== null) {
    const watts = woofer.ratedWatts === undefined ? null : woofer.ratedWatts * woofer.count;
    return loadWith({
      name: woofer.name,
      count: woofer.count,
      ohms: given ?? woofer.ohms,
      watts,
      factory: false,
    });
  }
  const own = speakers.filter(({ feeds }) => feeds === output);
  if (own.length === 0) {
    const name = output === 'subwoofer' ? 'the subwoofer' : `the ${output} speakers`;
    const ohms = given ?? amplifier?.ratedOhms ?? USUAL_OHMS;
    return {
      ...loadWith({ name, count: 1, ohms, watts: null, factory: false }),
      isGiven: given !== undefined,
    };
  }
  const ratings = own.map(({ ratedWatts, ohms }) => (ratedWatts === undefined ? null : ratedWatts * ohms));
  const ohms = given ?? Math.min(...own.map((speaker) => speaker.ohms));
  const weakest = ratings.some((squared) => squared === null)
    ? null
    : Math.min(...ratings.map((squared) => squared!));
  const known = ratings.filter((squared) => squared !== null);
  return {
    ...loadWith({
      name: own.map(({ name }) => name).join(' and '),
      count: own.length,
      ohms,
      watts: weakest === null ? null : weakest / ohms,
      factory: own.some(({ factory }) => factory),
    }),
    lowestOhms: Math.min(ohms, ...own.map(withTweeter)),
    // One that nobody noted does not free the others.
    ratedVolts: known.length === 0 ? Number.POSITIVE_INFINITY : Math.sqrt(Math.min(...known)),
  };
}

/** Door and tweeter on one pair of wires, 1/(1/R1 + 1/R2). */
function withTweeter({ ohms, tweeter, wiring }: Speaker): number {
  return tweeter === null || wiring !== 'parallel' ? ohms : 1 / (1 / ohms + 1 / tweeter.ohms);
}

/** What most car speakers are (common practice). */
export const USUAL_OHMS = 4;

function loadWith({
  name,
  count,
  ohms,
  watts,
  factory,
}: {
  name: string;
  count: number;
  ohms: number;
  watts: number | null;
  factory: boolean;
}): ChainLoad {
  return {
    load: { name, count, ohms, ratedWatts: watts, factory },
    lowestOhms: ohms,
    ratedVolts: watts === null ? Number.POSITIVE_INFINITY : Math.sqrt(watts * ohms),
    isGiven: true,
  };
}
