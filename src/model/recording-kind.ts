import type { Engine, RecordingKind } from './session.ts';

/** Names that say what a file is: `loop-take.wav`, `shorted.wav`, `noise-idle.wav`, `seat-both-inverted.wav`. */
const KIND_NAMES: readonly (readonly [RegExp, RecordingKind])[] = [
  [/^loop(?![a-z])/, 'loop'],
  [/^short(ed)?(?![a-z])/, 'shorted'],
  [/^noise(?![a-z])/, 'noise'],
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

function baseName(file: string): string {
  return file.replace(/^.*\//, '').toLowerCase();
}
