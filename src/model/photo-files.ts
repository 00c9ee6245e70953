import type { BayNotes, Photo } from './bay-notes.ts';

/** Names of all photos of a session, each once. Apart from the schemas: threads that read recordings load none. */
export function photoFilesOf({
  taps,
  photos = [],
}: {
  readonly taps: readonly BayNotes[];
  readonly photos?: readonly Photo[] | undefined;
}): string[] {
  const all = [...taps.flatMap((tap) => tap.photos ?? []), ...photos];
  return [...new Set(all.map(({ file }) => file))];
}
