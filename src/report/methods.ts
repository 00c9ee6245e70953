/** How each number was got, in plain words, in the order in which they appear. */
export const METHODS: readonly { readonly title: string; readonly text: string }[] = [
  {
    title: 'What ± means',
    text: 'In 95 of 100 cases the true value lies within it (coverage factor 2, common practice). It holds the noise of the recording and, for volts, what meter and resistors may be off. Where there is no number, the reason stands in its place.',
  },
  {
    title: 'Response',
    text: 'The track plays a tone that rises from 10 Hz to 20 kHz, first on the left, then on the right. What was recorded, divided by what was played, is level and phase at every frequency. Sweeps at both ends of the track bring the clocks of player and recorder together. A response is trusted where it stands 20 dB above its noise.',
  },
  {
    title: 'Bass against volume',
    text: 'Each setting is held against its own middle band, so that the volume itself drops out. Settings that agree within half a decibel are the starting point; change is counted from there. The cut starts between two recorded settings, and that is what the page says. A sweep 18 dB lower tells a limiter from a fixed cut.',
  },
  {
    title: 'Band limits',
    text: 'An output counts as band-limited where it keeps falling by 6 dB an octave or more for an octave. The −3 and −6 dB points are read off its response. A filter gets a name only where it fits clearly better than the others.',
  },
  {
    title: 'Polarity and delay',
    text: 'They are what is left once the filters are taken out, against the reference output in the same recording. Filters delay and turn the phase, too, so the answer may be that nobody can tell.',
  },
  {
    title: 'Sums',
    text: 'Responses are added with their phase, as voltages add: for music on the left, on the right, and on both.',
  },
  {
    title: 'Level and volts',
    text: '0 dBFS is a sine that just reaches full scale (AES17). Volts come from the pad and the recorder’s full-scale volts, or from a tone read on a meter. Without either, everything relative still holds, and the volts are left to be measured. 0 dBu is 0.775 V.',
  },
  {
    title: 'Distortion and clipping',
    text: 'Tones at 55, 997 and 6007 Hz rise in steps. Distortion is their harmonics against the tone, less the noise. 1 % counts as clipping (common practice; a hard clip gets there 0.25 dB past the rail). The highest clean setting is the last recorded one below that, at the frequency that the radio boosts most.',
  },
  {
    title: 'Noise',
    text: 'It is measured under a very quiet tone, because many outputs mute in silence; the tone itself is taken out. It covers 20 Hz to 20 kHz.',
  },
];
