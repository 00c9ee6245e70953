import type { Recommendation } from '../../model/recommendation.ts';

/**
 * What is likely when a step does not come out, short enough for its row (common practice).
 *
 * @param direct the outputs go straight into the amplifier: there is no converter to turn
 */
export function wrongReading(item: Recommendation, direct = false): string {
  switch (item.kind) {
    case 'feed':
      return item.summed
        ? 'Hollow: swap plus and minus of one pair.'
        : 'Silent: wrong pair, or it wants its load.';
    case 'converter-level':
      return 'Half: you read one leg. Nothing: check the turn-on.';
    case 'amplifier-gain':
      return direct
        ? 'Too low: the wrong input, or a gain that ends. Sagging: supply or ground.'
        : 'Too low: raise the converter. Sagging: supply or ground.';
    case 'highest-clean-setting':
      return 'Low: tone controls not flat. High: other source.';
    case 'restoration':
      return item.verdict === 'none needed' ? '' : 'No change: the control is not connected.';
    case 'filter':
      return 'Less than 3 dB down at the corner: it is switched off.';
    case 'protection':
      return 'More than a quarter: filter off. Leave the tweeter off.';
    case 'delay':
      return 'Thinner: delay the other feed, the one that comes first.';
    case 'turn-on':
      return 'Drops out when quiet: use a switched line.';
    case 'record-next':
    case 'balance':
      return '';
    default:
      return 'Measure one step earlier.';
  }
}
