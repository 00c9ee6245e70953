import {
  bits,
  clipped,
  dead,
  gain,
  hiss,
  inTurn,
  lose,
  mixed,
  mono,
  normalised,
  part,
  type Spoiling,
  sampleAt,
  secondBy,
  stretch,
  struck,
  swapped,
  swappedFrom,
  upTo,
} from './lies.ts';
import { type Lie, lyingSession } from './lying-session.ts';

/** Bass falls above setting 20; the take at 26 starts at 1.58 s, so that its sweeps end at 9.1 and 15.8 s. */
export const quick = lyingSession({ settings: [12, 16, 20, 26, 32], track: 'response only' });

const everywhere = (spoil: Spoiling): Lie => ({
  spoil: Object.fromEntries(quick.settings.map((setting) => [setting, spoil])),
});
export const at = (setting: number, spoil: Spoiling): Lie => ({ spoil: { [setting]: spoil } });

const at_ = (code: string, ...settings: number[]) => settings.map((setting) => `${setting}: ${code}`);

export const ALL = [12, 16, 20, 26, 32];
const SAME = 'same samples as another take';

/** The lie, what is said of which takes, and the settings that are doubted for it. */
export const LIES: readonly (readonly [string, Lie, readonly string[], readonly number[]])[] = [
  ['nothing', {}, [], []],
  // Settings and files.
  [
    'settings 20 and 26 exchanged',
    { exchange: { 20: 26, 26: 20 } },
    at_('settings exchanged', 20, 26),
    [20, 26],
  ],
  [
    'settings 12 and 32 exchanged',
    { exchange: { 12: 32, 32: 12 } },
    at_('settings exchanged', 12, 32),
    [12, 32],
  ],
  [
    'settings 12 and 16 exchanged',
    { exchange: { 12: 16, 16: 12 } },
    at_('settings exchanged', 12, 16),
    [12, 16],
  ],
  [
    'settings 26 and 32 exchanged',
    { exchange: { 26: 32, 32: 26 } },
    at_('settings exchanged', 26, 32),
    [26, 32],
  ],
  [
    'three settings in turn',
    { exchange: { 16: 20, 20: 26, 26: 16 } },
    at_('level fits no neighbour', 26),
    [26],
  ],
  [
    'all in the reverse order',
    { exchange: { 12: 32, 16: 26, 26: 16, 32: 12 } },
    at_('level fits no neighbour', ...ALL),
    ALL,
  ],
  ['26 copied to 32', { exchange: { 32: 26 } }, at_(SAME, 26, 32), [26, 32]],
  ['12 copied to 20', { exchange: { 20: 12 } }, at_(SAME, 12, 20), [12, 20]],
  ['one file for all', { exchange: { 12: 20, 16: 20, 26: 20, 32: 20 } }, at_(SAME, ...ALL), ALL],
  [
    '26 copied to 32 and made 6 dB louder',
    { exchange: { 32: 26 }, spoil: { 32: gain(6) } },
    at_(SAME, 26, 32),
    [26, 32],
  ],
  [
    '26 copied to 32 and cut at its start',
    { exchange: { 32: 26 }, spoil: { 32: part(0.2003) } },
    at_(SAME, 26, 32),
    [26, 32],
  ],
  [
    '26 copied to 32 in 16 bits',
    { exchange: { 32: 26 }, spoil: { 32: inTurn(gain(6), bits(16)) } },
    at_(SAME, 26, 32),
    [26, 32],
  ],
  // Levels.
  ['every take normalised', everywhere(normalised), at_('every take has one peak', ...ALL), ALL],
  ['one take normalised', at(20, normalised), at_('level fits no neighbour', 20), [20]],
  [
    'one take 6 dB quieter, as loud as its neighbour',
    at(26, gain(-6)),
    at_('level fits no neighbour', 20, 26),
    [20, 26],
  ],
  ['one take 10 dB quieter', at(26, gain(-10)), at_('settings exchanged', 20, 26), [20, 26]],
  ['one take 12 dB louder', at(16, gain(12)), at_('level fits no neighbour', 16), [16]],
  [
    'gain 1 dB lower from the middle of a take on',
    at(26, gain(-1, { from: 15.3 })),
    at_('gain changed within the take', 26),
    [26],
  ],
  [
    'closing sweeps 3 dB lower',
    at(26, gain(-3, { from: 15.3 })),
    at_('gain changed within the take', 26),
    [26],
  ],
  [
    'closing sweeps 3 dB lower in every take',
    everywhere(gain(-3, { from: 15.3 })),
    at_('gain changed within the take', ...ALL),
    ALL,
  ],
  [
    'gain that creeps down by 3 dB',
    at(26, (r) => gainOf(r, (t) => 10 ** ((-3 * t) / 20 / 20))),
    at_('gain changed within the take', 26),
    [26],
  ],
  [
    'automatic gain at one take, which is louder than the next for it: no two were exchanged',
    at(26, inTurn(gain(8), gain(-1.5, { from: 15.3 }))),
    at_('gain changed within the take', 26),
    [26],
  ],
  [
    'the recorder clips in a sweep',
    at(32, inTurn(gain(40), clipped(1))),
    at_('recorder clipped in a sweep', 32),
    [32],
  ],
  // Time.
  ['one sample lost between the sweeps', at(26, lose(1, 9.4)), at_('samples lost or added', 26), [26]],
  ['5 samples lost', at(26, lose(5, 16.1)), at_('samples lost or added', 26), [26]],
  [
    '100 samples lost before the closing sweeps',
    at(26, lose(100, 16.1)),
    at_('samples lost or added', 26),
    [26],
  ],
  [
    '100 samples lost between the opening sweeps',
    at(26, lose(100, 9.4)),
    at_('samples lost or added', 26),
    [26],
  ],
  ['2400 samples lost', at(26, lose(2400, 16.1)), at_('samples lost or added', 26), [26]],
  ['100 samples doubled', at(26, lose(-100, 16.1)), at_('samples lost or added', 26), [26]],
  [
    '100 samples lost within the left sweep',
    at(26, lose(100, 6)),
    [...at_('knock', 26), ...at_('sweeps contradict each other', 26)],
    [26],
  ],
  ['100 samples lost within the right sweep', at(26, lose(100, 12)), at_('samples lost or added', 26), [26]],
  ['100 samples lost in every take', everywhere(lose(100, 15.3)), at_('samples lost or added', ...ALL), ALL],
  ['stopped within the last closing sweep', at(26, part(0, 18.6)), at_('stopped early', 26), [26]],
  ['begun within the first sweep', at(26, part(5)), at_('sections not heard', 26), [26]],
  [
    'faded in over 8 s',
    at(26, (r) => gainOf(r, (t) => Math.min(1, t / 8))),
    [...at_('gain changed within the take', 26), ...at_('muted at the start', 26)],
    [26],
  ],
  ['0.1 % too fast', at(26, stretch(1.001)), [], []],
  // Samples.
  ['one full-scale sample in the left sweep', at(26, sampleAt(5, 1)), at_('knock', 26), [26]],
  ['one full-scale sample in the right sweep', at(26, sampleAt(12, -1)), at_('knock', 26), [26]],
  ['one sample of 1000', at(26, sampleAt(5, 1000)), at_('samples that no recorder makes', 26), [26]],
  [
    'one sample that is no number',
    at(26, sampleAt(5, Number.NaN)),
    at_('samples that no recorder makes', 26),
    [26],
  ],
  [
    'one infinite sample',
    at(26, sampleAt(15.4, Number.POSITIVE_INFINITY)),
    at_('samples that no recorder makes', 26),
    [26],
  ],
  ['a knock in a sweep', at(26, struck(5, 0.2)), at_('knock', 26), [26]],
  ['the balance moved for one take', at(26, secondBy(-8)), at_('level fits no neighbour', 20, 26), [20, 26]],
  ['one take in 8 bits', at(26, bits(8)), at_('silent to the last bit', 26), [26]],
  [
    'one take in 5 bits',
    at(26, bits(5)),
    [...at_('gain changed within the take', 26), ...at_('silent to the last bit', 26)],
    [26],
  ],
  [
    'one take recoded to 5 kHz',
    at(26, inTurn(upTo(5000), hiss(1e-5))),
    at_('ends lower than a quieter take', 26),
    [26],
  ],
  ['one take under loud hiss', at(26, hiss(0.05)), [], []],
  // Channels.
  ['the channels of one take swapped', at(26, swapped), at_('channels swapped', 26), [26]],
  [
    'the channels of half of the takes swapped',
    { spoil: { 20: swapped, 26: swapped, 32: swapped } },
    at_('channels swapped', 20, 26, 32),
    [20, 26, 32],
  ],
  ['the channels of every take swapped', everywhere(swapped), at_('channels swapped', ...ALL), []],
  [
    'the channels swapped within the right sweep of one take: no codec ended one of them',
    at(26, swappedFrom(12)),
    [...at_('carries another side', 26), ...at_('knock', 26)],
    [26],
  ],
  ['one take mono', at(26, mono), at_('same signal as another output', 26), [26]],
  ['every take mono', everywhere(mono), at_('same signal as another output', ...ALL), ALL],
  [
    'one take mixed to mono, and quieter for it',
    at(26, mixed),
    [
      ...at_('carries another side', 26),
      ...at_('level fits no neighbour', 20, 26),
      ...at_('same signal as another output', 26),
    ],
    [20, 26],
  ],
  ['one channel dead in one take', at(26, dead), at_('nothing on this channel', 26), [26]],
  ['one channel dead in every take', everywhere(dead), at_('nothing on this channel', ...ALL), ALL],
];

const gainOf = (recording: Parameters<Spoiling>[0], gainAt: (seconds: number) => number): void => {
  for (const channel of recording.channels)
    for (let n = 0; n < channel.length; n++) channel[n] *= gainAt(n / recording.sampleRateHz);
};
