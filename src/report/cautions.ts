/** The cautions of the trade, by the moment at which they matter. Common practice; they defer to the maker and to local codes. */
export const CAUTIONS: readonly { readonly title: string; readonly items: readonly string[] }[] = [
  {
    title: 'Before anything else',
    items: [
      "The maker's service information, local codes and licensed practice come before anything that this page says. It is advice from measurements.",
      'Disconnect the battery before wiring. Keep away from airbag connectors, which are often yellow. On hybrids stay off orange cables and keep the maker’s waiting times.',
      'Fuse every supply wire: main fuse within about 45 cm (18 in) of the battery, rated for the wire. Put ferrules on stranded wire in set-screw terminals. Ground to the chassis, not to a battery post that carries a current sensor.',
      'Run the engine only in open air.',
    ],
  },
  {
    title: 'While recording',
    items: [
      'Most factory speaker outputs are bridged: both wires sit at about half the supply. Two readings to chassis tell: half the supply on both, or zero on one. Never join either wire to chassis, to a recorder’s ground, to the clip of a mains-earthed oscilloscope or to a laptop on its charger.',
      'A stereo recorder with one shared ground ties two minus wires together. Use differential or isolated inputs, a pad that keeps the recorder below its rating, and phantom power off. Small isolating transformers lose bass: prove them with a loop take.',
      'Full-scale tones destroy tweeters and hearing, and sweeps from 10 Hz tear small cones. Make the loudest takes with the speakers unplugged or a load on: 10 V into 47 ohm is 2.1 W, so use a 5 W resistor. Some radios mute with nothing connected.',
      'Step up from quiet, stop at any distress, protect your ears.',
      'Two hours of ignition flatten a battery: keep a support supply on, and take it off for the noise takes.',
    ],
  },
  {
    title: 'While setting gains, and after',
    items: [
      'Dynamic restoration reacts to test tones: set gains with it off, then read again with it on.',
      'Restoring more than about 12 dB costs headroom, noise and cone travel first.',
      'A clean setting holds only for the source that was played: make one take on the customer’s own source.',
      'Where the car cancels cabin noise or plays an engine sound, settle that by the maker’s information before adding a subwoofer: it can boom.',
      'Take the stick out before hand-over, and check the sleep current at the end.',
    ],
  },
];
