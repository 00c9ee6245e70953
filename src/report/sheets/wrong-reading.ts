import type { Recommendation } from '../../model/recommendation.ts';

/** What is likely when a step does not come out (common practice). */
export function wrongReading(item: Recommendation): string {
  switch (item.kind) {
    case 'feed':
      return item.summed
        ? 'Thin or hollow sound: plus and minus of one tap are swapped. One side only: a pair is not connected.'
        : 'Nothing: the output mutes without its load, or the pair is another one.';
    case 'converter-level':
      return 'Half: one leg was read, or balance and fade are off centre. Far off at one tone only: restoration or an EQ is on. Nothing: turn-on.';
    case 'amplifier-gain':
      return 'Too low at the stop of the knob: the converter is set too low. Too high at its lowest: the range switch. Falls with time: supply or ground.';
    case 'highest-clean-setting':
      return 'Lower: tone controls are not flat, or another source. Higher: the volume shown is not the one recorded.';
    case 'restoration':
      return 'No change between off and on: the control is not connected, or the test tone is too quiet for it.';
    case 'filter':
      return 'Right is 3 dB less at the corner (Butterworth) or 6 dB (Linkwitz-Riley) than well inside the band. No change: the filter switch is off, or it acts on another pair.';
    case 'protection':
      return 'Not 12 dB less: the filter is off, or set on another pair. Do not connect the tweeter.';
    case 'delay':
      return 'Thinner than before: the wrong feed waits. Delay the one that comes first, not the one that is late.';
    case 'turn-on':
      return 'Goes off in quiet passages: use the switched line. Stays on: the line is not switched.';
    default:
      return 'Measure at the step before.';
  }
}
