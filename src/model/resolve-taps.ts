import { resolveBayNotes } from './bay-notes.ts';
import { SteptoneError } from './errors.ts';
import type { FieldPath } from './field-path.ts';
import { namesInChannels } from './resolve-channels.ts';
import type { OutputLevel, Position, Side, Tap } from './session.ts';
import type { SessionInput, TapInput } from './session-input.ts';

/** The usual short forms in the trade, beside the plain words. */
const SIDE_WORDS: Readonly<Record<string, Side>> = {
  left: 'left',
  right: 'right',
  l: 'left',
  r: 'right',
  fl: 'left',
  fr: 'right',
  rl: 'left',
  rr: 'right',
};
const POSITION_WORDS: Readonly<Record<string, Position>> = {
  front: 'front',
  rear: 'rear',
  back: 'rear',
  dash: 'dash',
  door: 'door',
  centre: 'centre',
  center: 'centre',
  sub: 'subwoofer',
  subwoofer: 'subwoofer',
  microphone: 'microphone',
  mic: 'microphone',
  phone: 'microphone',
  fl: 'front',
  fr: 'front',
  rl: 'rear',
  rr: 'rear',
};

/** The taps of a session: as listed, or the names in the channel lists, or one a channel of the recordings. */
export function resolveTaps({
  input,
  channelCount,
  locate,
}: {
  input: SessionInput;
  channelCount: number;
  locate: (path: FieldPath) => string;
}): Tap[] {
  const taps = (input.taps ?? namesInChannels(input) ?? numbered(channelCount)).map((tap) =>
    resolveTap(tap, input.level),
  );
  taps.forEach((tap, i) => {
    if (taps.findIndex(({ id }) => id === tap.id) === i) return;
    throw new SteptoneError({
      code: 'session-field',
      expected: 'each tap once',
      found: `'${tap.id}' twice`,
      where: locate(['taps', i]),
      nextStep: 'give each tap its own name',
    });
  });
  return taps;
}

function numbered(channelCount: number): TapInput[] {
  return Array.from({ length: channelCount }, (_, i) => ({
    id: `channel ${i + 1}`,
    side: 'unknown',
    position: 'unknown',
  }));
}

function resolveTap(given: string | TapInput, usualLevel: OutputLevel | undefined): Tap {
  const tap = typeof given === 'string' ? { id: given } : given;
  const words = tap.id.toLowerCase().split(/[^a-z]+/);
  return {
    id: tap.id,
    label: tap.label ?? tap.id,
    side: tap.side ?? onlyOne(words, SIDE_WORDS) ?? 'unknown',
    position: tap.position ?? onlyOne(words, POSITION_WORDS) ?? 'unknown',
    load: tap.load ?? 'unknown',
    ...levelOf(tap.level ?? usualLevel),
    connection: tap.connection ?? 'pair',
    ...(tap.verifies === undefined
      ? {}
      : { verifies: typeof tap.verifies === 'string' ? { feed: tap.verifies } : tap.verifies }),
    ...resolveBayNotes(tap),
  };
}

function levelOf(level: OutputLevel | undefined): Pick<Tap, 'level'> {
  return level === undefined ? {} : { level };
}

/** What the words of a name say; nothing where they say two things ("front-rear sum"). */
function onlyOne<Value>(
  words: readonly string[],
  meanings: Readonly<Record<string, Value>>,
): Value | undefined {
  const found = new Set(words.filter((word) => Object.hasOwn(meanings, word)).map((word) => meanings[word]));
  return found.size === 1 ? [...found][0] : undefined;
}
