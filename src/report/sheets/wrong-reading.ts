import type { Recommendation } from '../../model/recommendation.ts';

/** What is likely when a step does not come out, short enough for its row (common practice). */
export function wrongReading(item: Recommendation): string {
  switch (item.kind) {
    case 'feed':
      return item.summed
        ? 'Hollow: swap plus and minus of one pair.'
        : 'Silent: another pair, or the output wants its load.';
    case 'converter-level':
      return 'Half: you read one leg. Nothing: check the turn-on.';
    case 'amplifier-gain':
      return 'Low at full gain: raise the converter first. Sagging: supply or ground.';
    case 'highest-clean-setting':
      return 'Low: tone controls are not flat. High: another source.';
    case 'restoration':
      return 'No change: the control is not connected.';
    case 'filter':
      return 'Right: 3 dB less at the corner, 6 dB if Linkwitz-Riley. No change: switched off.';
    case 'protection':
      return 'Less than 12 dB: the filter is off. Leave the tweeter unplugged.';
    case 'delay':
      return 'Thinner: delay the other feed, the one that comes first.';
    case 'turn-on':
      return 'Drops out in quiet music: use a switched line.';
    default:
      return 'Measure one step earlier.';
  }
}
