import type { Engine, RecordingKind } from './session.ts';

/** Names that say what a file is: `loop-take.wav`, `shorted.wav`, `noise-idle.wav`, `source-phone-22.wav`. */
const KIND_NAMES: readonly (readonly [RegExp, RecordingKind])[] = [
  [/^loop(?![a-z])/, 'loop'],
  [/^short(ed)?(?![a-z])/, 'shorted'],
  [/^noise(?![a-z])/, 'noise'],
  [/^source(?![a-z])/, 'other source'],
  [/^seat[ _-]sub(woofer)?(?![a-z])/, 'seat sub'],
  [/^seat[ _-]mains(?![a-z])/, 'seat mains'],
  [/^seat[ _-]both[ _-]inverted(?![a-z])/, 'seat both inverted'],
  [/^seat[ _-]both(?![a-z])/, 'seat both'],
];

export function recordingKindOf(file: string): RecordingKind {
  const name = baseName(file);
  return KIND_NAMES.find(([pattern]) => pattern.test(name))?.[1] ?? 'takes';
}

/** What the name of a noise take says about the engine; off where it says nothing. */
export function engineOf(file: string): Engine {
  const words = baseName(file).split(/[^a-z]+/);
  return (['idle', 'fast'] as const).find((engine) => words.includes(engine)) ?? 'off';
}

/** What played a take of another source, as its name says: `source-phone-22.wav` is phone; undefined where it does not. */
export function otherSourceOf(file: string): string | undefined {
  const words = file
    .replace(/^.*\//, '')
    .replace(/\.\w+$/, '')
    .split(/[ _-]+/)
    .slice(1)
    .filter((word) => !/^\d+(\.\d+)?$/.test(word));
  return words.length === 0 ? undefined : words.join(' ');
}

/** The last number in a name as its one setting; undefined where there is none. */
export function settingInName(file: string): [number] | undefined {
  const last = file
    .replace(/^.*\//, '')
    .replace(/\.\w+$/, '')
    .match(/\d+(\.\d+)?/g)
    ?.at(-1);
  return last === undefined ? undefined : [Number(last)];
}

function baseName(file: string): string {
  return file.replace(/^.*\//, '').toLowerCase();
}
