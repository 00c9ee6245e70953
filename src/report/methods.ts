/** How each number was got, in plain words, in the order in which they appear. */
export const METHODS: readonly { readonly title: string; readonly text: string }[] = [
  {
    title: 'What ± means',
    text: 'The true value lies within it in 95 of 100 cases (coverage factor 2, common practice). It holds the noise of the recording and, for volts, the tolerance of meter and resistors. Where a number cannot be had, the reason stands in its place.',
  },
  {
    title: 'Response',
    text: 'A tone that rises from 10 Hz to 20 kHz is played on the left alone and on the right alone; dividing what was recorded by what was played gives level and phase at every frequency. The clocks of player and recorder are first brought together by the sweeps at the start and the end of the track. A response is trusted where it stands 20 dB above its own noise.',
  },
  {
    title: 'Bass against volume',
    text: 'Responses are compared between settings, each against its own middle band, so that the volume itself drops out. The settings that agree within half a decibel are the plateau; change is counted from there. The beginning lies between two recorded settings, and that is what is stated. A sweep 18 dB lower tells a limiter from a fixed cut.',
  },
  {
    title: 'Band limits',
    text: 'An output counts as band-limited where it keeps falling by 6 dB an octave or more over an octave. The −3 and −6 dB points are read off the response; a filter family and its corner are named only where they fit clearly better than the others.',
  },
  {
    title: 'Polarity and delay',
    text: 'What is left after the fitted filters are taken out, against the reference tap in the same recording. Filters have a delay and a phase of their own, so the answer may be that it cannot be told.',
  },
  {
    title: 'Sums',
    text: 'Measured responses are added with their phase, as voltages add, for programme on the left, on the right and on both.',
  },
  {
    title: 'Level and volts',
    text: '0 dBFS is a sine that just reaches full scale (AES17). Volts follow from the pad and the recorder’s full-scale voltage, or from a tone read on a meter; without either, everything relative still holds and volts are left to be measured. 0 dBu is 0.775 V.',
  },
  {
    title: 'Distortion and clipping',
    text: 'Tones at 55, 997 and 6007 Hz rise in steps. Distortion is the harmonics against the fundamental, the power of the noise subtracted. 1 % counts as clipping (common practice; a hard clip gets there 0.25 dB past the rail). The highest clean setting is the last recorded one below it at the frequency that the tap boosts most.',
  },
  {
    title: 'Noise',
    text: 'Measured under a very quiet tone, because many outputs mute in silence; the tone itself is taken out. 20 Hz to 20 kHz.',
  },
];
