import type { StickFile } from '../stick-files.ts';

/** The sentences of the bench sheet. */
export const cautions = {
  brief:
    "the car maker's service information, local codes and licensed practice come before this sheet. Battery disconnected for " +
    'wiring; keep away from airbag connectors (often yellow). Never join a speaker wire to chassis or to a grounded input. ' +
    'For the loudest takes unplug the speakers or use load resistors, and protect your ears. All cautions are on the back.',
  full: [
    '<strong>Bridged outputs.</strong> Both wires of most factory speaker outputs stand at about half the supply. Never join either ' +
      "to chassis, to a recorder's ground, to the clip of a mains-earthed oscilloscope or to a laptop on its charger. A stereo " +
      'recorder with one shared ground ties two minus wires together: use differential or isolated inputs, or one pair at a time.',
    '<strong>Recorder.</strong> A pad that keeps it below its rating; phantom power off. Small isolating transformers lose bass: prove ' +
      'them with the loop take.',
    '<strong>Ears and speakers.</strong> Full-scale tones destroy tweeters and hearing, and sweeps from 10 Hz tear small cones. ' +
      'Loudest takes with speakers unplugged or a load on (10 V into 47 ohm is 2.1 W: use 5 W parts, they get hot). Step up from quiet. ' +
      'Stop at any distress. Take the stick out before you hand the car over.',
    "<strong>Wiring.</strong> Disconnect the battery before wiring and keep the maker's waiting times. Keep away from airbag " +
      'connectors, often yellow. Fuse every supply wire.',
    "<strong>Engine.</strong> Running only in open air. Hybrids and electric cars: stay off orange cables, keep the maker's waiting times.",
    '<strong>Battery.</strong> Two hours of ignition flatten it: support the supply, and take the support off for noise takes. ' +
      'Check the sleep current at the end.',
    "<strong>Whose word counts.</strong> The maker's service information, local codes and licensed practice come before anything " +
      'printed here. This sheet is a plan for measuring; its results are advice.',
  ],
};

export const tapSteps = [
  "Read each wire's DC volts to chassis (front page) before you connect anything.",
  'Keep the speaker or a load resistor on: some radios mute or change with nothing connected. Write the load down. A tap behind a ' +
    'capacitor with its tweeter unplugged looks full range.',
  'Connect across the pair, + to +. If you can reach only one leg, write "one leg": it carries half.',
  'Link takes: tap A left stays on channel 1, the other tap goes on channel 2, so that arrival times compare between pairs. With a ' +
    'one-channel recorder they never compare: leave the link takes out.',
];

export const recorderSteps = [
  'WAV, 24 bits, 48 kHz or 96 kHz. Automatic gain, limiter, low cut and effects off. Battery, not charger.',
  'Set the gain once, at the highest setting, so that the loudest ladder step peaks 6 to 12 dB below full scale. Then leave it for all takes.',
  'Let the track run from start to end, a second or two of quiet before and after it. One file a take, or one long file with the ' +
    'settings in the order of the list.',
  'Noise takes on pair A: 10 s each, volume zero, nothing playing, the battery charger off.',
  'Check the level after the first take: no clipping, both channels there, left is left. Repeat a take if somebody knocked or talked.',
];

/** One line a kind of file, so that both rates share it. */
export function stickUses(files: readonly StickFile[]): readonly { names: readonly string[]; use: string }[] {
  const named = (test: (file: StickFile) => boolean) => files.filter(test).map((file) => file.name);
  const meterNames = named((file) => 'tone' in file);
  return [
    {
      names: named((file) => 'track' in file && file.track.name === 'full'),
      use: 'Full track, 44 s: sweeps, drive ladders up to full scale, quiet tone, silence.',
    },
    {
      names: named((file) => 'track' in file && file.track.name === 'response only'),
      use: 'Response-only track, 19.5 s: sweeps alone, for further pairs and links ("response only").',
    },
    {
      names: [`${meterNames.length} files steptone-meter-...`],
      use: 'Steady tones of 60 s for a meter: 55, 100 and 997 Hz at 0, −5 and −10 dB. Full-scale ones never into tweeters.',
    },
    {
      names: ['...-44k and ...-48k'],
      use: 'The same sound at two sample rates. Use one rate for the whole job; 44k where the radio refuses 48k.',
    },
  ];
}
