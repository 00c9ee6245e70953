import { dividerAt } from '../../dsp/divider.ts';
import { e24Between } from '../../dsp/e24.ts';
import type { AdviceOf } from '../../model/recommendation.ts';

/** A pad is to load the radio lightly and the input behind it stiffly (common practice: some hundred ohms to a few thousand). */
const LOAD_ON_RADIO_OHMS = { lowest: 470, highest: 4700 } as const;
/** The pad's own output impedance over the input it feeds: a tenth moves the level by 0.8 dB, which the sum below counts. */
const STIFF_RATIO = 0.1;
/** A resistor is bought for at least twice what it dissipates (common practice). */
const RATING_RATIO = 2;
const STANDARD_RATINGS_WATTS = [0.25, 0.5, 1, 2, 5, 10] as const;
/** An output stage of a radio is a small fraction of an ohm (common practice). */
const RADIO_OHMS = 0.1;

interface PadWanted {
  readonly inputVolts: number;
  /** Most that may come out. */
  readonly outputVolts: number;
  readonly loadOhms: number;
}

type PadValues = Omit<AdviceOf<'pad'>, 'kind' | 'id' | 'restsOn' | 'reasons' | 'tapIds'>;

/** Of all pairs of E24 values that load the radio lightly and feed the input stiffly: the one that loses least beyond what is needed. */
export function padFor({ inputVolts, outputVolts, loadOhms }: PadWanted): PadValues | null {
  let best: PadValues | null = null;
  for (const seriesOhms of e24Between({ lowestOhms: 100, highestOhms: LOAD_ON_RADIO_OHMS.highest })) {
    for (const shuntOhms of e24Between({ lowestOhms: 10, highestOhms: LOAD_ON_RADIO_OHMS.highest })) {
      const at = dividerAt({ sourceOhms: RADIO_OHMS, seriesOhms, shuntOhms, loadOhms }, inputVolts);
      const fits =
        at.outputVolts <= outputVolts &&
        at.inputOhms >= LOAD_ON_RADIO_OHMS.lowest &&
        at.inputOhms <= LOAD_ON_RADIO_OHMS.highest &&
        at.outputOhms <= STIFF_RATIO * loadOhms;
      if (!fits || (best !== null && at.outputVolts <= best.outputVoltsRms)) continue;
      best = {
        seriesOhms,
        shuntOhms,
        lossDb: at.lossDb,
        outputVoltsRms: at.outputVolts,
        loadOnRadioOhms: at.inputOhms,
        seriesWatts: at.seriesWatts,
        shuntWatts: at.shuntWatts,
        seriesRatingWatts: ratingFor(at.seriesWatts),
        shuntRatingWatts: ratingFor(at.shuntWatts),
      };
    }
  }
  return best;
}

/** The next standard rating that is at least twice the dissipation. */
export function ratingFor(watts: number): number {
  return (
    STANDARD_RATINGS_WATTS.find((rating) => rating >= RATING_RATIO * watts) ?? Math.ceil(RATING_RATIO * watts)
  );
}
