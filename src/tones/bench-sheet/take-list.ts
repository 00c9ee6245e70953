import { type BenchGroup, OPEN_SETTING, unnamedGroups } from './bench-groups.ts';

/** One line of the bench sheet. */
export interface Take {
  readonly number: number;
  readonly what: string;
  /** Of the radio's volume; null where the installer fills it in, 'none' where there is none. */
  readonly setting: number | null | 'none';
  readonly play: string;
  /** What to name the recording; empty where the installer chooses. */
  readonly file: string;
}

type Step = Omit<Take, 'number'>;

/** Lines to fill in where the settings are not known yet: about what it takes to bracket an onset (common practice). */
const BLANK_SETTINGS = 8;

/**
 * The takes in the order in which they are recorded: the recorder proved first; all settings on the first group, rising;
 * low, middle and high on the others, and where the first was just clean (without it they count as clean only up to the
 * middle), each with one take that links its arrival times to the first.
 *
 * @param settings volume settings of the radio, in any order; none where they are not chosen yet
 * @param groups taps that are recorded together; pairs to fill in where no session names them
 * @param otherSource what else is played in this car
 */
export function takeList(
  settings: readonly number[] = [],
  groups: readonly BenchGroup[] = unnamedGroups(),
  otherSource = "customer's own source",
): readonly Take[] {
  const rising = [...new Set(settings)].sort((a, b) => a - b);
  const all = rising.length > 0 ? rising : new Array<null>(BLANK_SETTINGS).fill(null);
  const [first, ...further] = groups;
  const steps = [
    ...proofOfTheRecorder(),
    ...all.map((setting) => ({
      what: groupWords(first),
      setting,
      play: 'full track',
      file: first.fileAt(setting),
    })),
    ...further.flatMap((group) => furtherGroup(group, lowMiddleHigh(rising))),
    ...circumstances(first, lowMiddleHigh(rising), otherSource),
  ];
  return steps.map((step, i) => ({ number: i + 1, ...step }));
}

function proofOfTheRecorder(): readonly Step[] {
  return [
    {
      what: 'Loop: player straight into pad, no radio',
      setting: 'none',
      play: 'full track',
      file: 'loop.wav',
    },
    {
      what: 'Shorted: both wires of each pad, 30 s',
      setting: 'none',
      play: 'nothing',
      file: 'shorted.wav',
    },
  ];
}

interface LowMiddleHigh {
  readonly low: number | null;
  readonly middle: number | null;
  readonly high: number | null;
}

function furtherGroup(group: BenchGroup, { low, middle, high }: LowMiddleHigh): readonly Step[] {
  const { link, fileAt, letter } = group;
  const words = groupWords(group);
  const response = 'response only';
  return [
    { what: `${words}, low`, setting: low, play: response, file: fileAt(low) },
    { what: `${words}, middle`, setting: middle, play: response, file: fileAt(middle) },
    { what: `${words}, highest clean of A`, setting: null, play: 'full track', file: fileAt(null) },
    { what: `${words}, high`, setting: high, play: 'full track', file: fileAt(high) },
    ...(link === null
      ? []
      : [
          {
            what: linkWords(letter, link.tapIds),
            setting: middle,
            play: response,
            file: link.fileAt(middle),
          },
        ]),
  ];
}

function groupWords({ letter, taps }: BenchGroup): string {
  if (taps.length === 1) return `Tap ${letter}`;
  return taps.length > 2 ? `Group ${letter}: all ${taps.length} taps` : `Pair ${letter}: both taps`;
}

function linkWords(letter: string, tapIds: readonly string[]): string {
  const on = tapIds.length === 0 ? ['tap A left', `tap ${letter} left`] : tapIds;
  return `Link: ${on.map((tap, i) => `${i + 1} ${tap}`).join(', ')}`;
}

function circumstances(first: BenchGroup, { middle }: LowMiddleHigh, otherSource: string): readonly Step[] {
  const words = groupWords(first).replace(/:.*/, '');
  const noise = { setting: 'none', play: 'nothing' } as const;
  return [
    { what: 'Noise: volume 0, charger and engine off', ...noise, file: 'noise-off.wav' },
    { what: 'Noise: the same at idle, in open air only', ...noise, file: 'noise-idle.wav' },
    { what: 'Noise: the same at a steady 3000 rpm', ...noise, file: 'noise-fast.wav' },
    { what: `${words}: ${otherSource}`, setting: middle, play: 'full track', file: sourceFile(middle) },
  ];
}

/** Found by its name (`recording-kind.ts`), and held against the take of the usual source at the same setting. */
function sourceFile(setting: number | null): string {
  return `source-${setting ?? OPEN_SETTING}.wav`;
}

function lowMiddleHigh(rising: readonly number[]): LowMiddleHigh {
  if (rising.length === 0) return { low: null, middle: null, high: null };
  return {
    low: rising[0],
    middle: rising[Math.floor((rising.length - 1) / 2)],
    high: rising[rising.length - 1],
  };
}
