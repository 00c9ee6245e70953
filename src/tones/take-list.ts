/** One line of the bench sheet. */
export interface Take {
  readonly number: number;
  readonly what: string;
  /** Of the radio's volume; null where the installer fills it in, 'none' where there is none. */
  readonly setting: number | null | 'none';
  readonly play: string;
}

type Step = Omit<Take, 'number'>;

/** Pairs of outputs beside the first: front, rear, dash and subwoofer are the most that a factory radio without an
 * amplifier of its own has (common practice). Lines that are not needed stay empty. */
const FURTHER_PAIRS = ['B', 'C', 'D'];
/** Lines to fill in where the settings are not known yet: about what it takes to bracket an onset (common practice). */
const BLANK_SETTINGS = 8;

/**
 * The takes in the order in which they are recorded: the recorder proved first; all settings on one pair, rising; low,
 * middle and high on the others, each with one take that links its arrival times to the first pair.
 *
 * @param settings volume settings of the radio, in any order; none where they are not chosen yet
 */
export function takeList(settings: readonly number[] = []): readonly Take[] {
  const rising = [...new Set(settings)].sort((a, b) => a - b);
  const all = rising.length > 0 ? rising : new Array<null>(BLANK_SETTINGS).fill(null);
  const steps = [
    ...proofOfTheRecorder(),
    ...all.map((setting) => ({ what: 'Pair A: both taps', setting, play: 'full track' })),
    ...FURTHER_PAIRS.flatMap((pair) => furtherPair(pair, lowMiddleHigh(rising))),
    ...circumstances(lowMiddleHigh(rising)),
  ];
  return steps.map((step, i) => ({ number: i + 1, ...step }));
}

function proofOfTheRecorder(): readonly Step[] {
  return [
    { what: 'Loop: a player straight into pad and recorder, no radio', setting: 'none', play: 'full track' },
    { what: 'Shorted: both wires of each pad clipped together, 30 s', setting: 'none', play: 'nothing' },
  ];
}

interface LowMiddleHigh {
  readonly low: number | null;
  readonly middle: number | null;
  readonly high: number | null;
}

function furtherPair(pair: string, { low, middle, high }: LowMiddleHigh): readonly Step[] {
  return [
    { what: `Pair ${pair}: both taps, low`, setting: low, play: 'response-only track' },
    { what: `Pair ${pair}: both taps, middle`, setting: middle, play: 'response-only track' },
    { what: `Pair ${pair}: both taps, high`, setting: high, play: 'full track' },
    {
      what: `Link: channel 1 tap A left, channel 2 tap ${pair} left`,
      setting: middle,
      play: 'response-only track',
    },
  ];
}

function circumstances({ high }: LowMiddleHigh): readonly Step[] {
  return [
    { what: 'Noise: pair A, volume zero, charger off, engine off, 10 s', setting: 'none', play: 'nothing' },
    { what: 'Noise: the same at idle, in open air only', setting: 'none', play: 'nothing' },
    { what: 'Noise: the same at a steady 3000 rpm', setting: 'none', play: 'nothing' },
    { what: "Pair A, the customer's own source instead of the stick", setting: high, play: 'full track' },
  ];
}

function lowMiddleHigh(rising: readonly number[]): LowMiddleHigh {
  if (rising.length === 0) return { low: null, middle: null, high: null };
  return {
    low: rising[0],
    middle: rising[Math.floor((rising.length - 1) / 2)],
    high: rising[rising.length - 1],
  };
}
