import { photoFilesOf } from '../src/model/bay-notes.ts';
import { SteptoneError } from '../src/model/errors.ts';
import { type PhotoImages, photoKind } from '../src/report/photos.ts';
import { fileSource } from './files.ts';
import { pathInside } from './inside-folder.ts';
import type { LoadedSession } from './load-session.ts';

/** A page of 6 MB has no room for more, base64 counted. */
const MOST_PHOTO_BYTES = 4_000_000;

export interface ReadPhotos {
  readonly images: PhotoImages;
  /** Those that pages can only name, each with the reason. */
  readonly remarks: readonly string[];
}

/** The photos of a session that pages can show. One that is missing, too large or no image stops nothing. */
export function readPhotos({ folder, session }: LoadedSession): ReadPhotos {
  const images = new Map<string, string>();
  const remarks: string[] = [];
  for (const file of photoFilesOf(session)) {
    const found = dataAddress(folder, file);
    if (found.startsWith('data:')) images.set(file, found);
    else remarks.push(`${file}: ${found}, so it is only named`);
  }
  return { images, remarks };
}

/** `data:` and the photo, or why not. */
function dataAddress(folder: string, file: string): string {
  try {
    const source = fileSource(pathInside(folder, file));
    try {
      if (source.byteLength > MOST_PHOTO_BYTES) return `over ${MOST_PHOTO_BYTES / 1e6} MB`;
      const bytes = new Uint8Array(source.byteLength);
      source.read(0, bytes);
      const kind = photoKind(bytes);
      return kind === null
        ? 'no JPEG or PNG by its bytes'
        : `data:${kind};base64,${Buffer.from(bytes).toString('base64')}`;
    } finally {
      source.close();
    }
  } catch (error) {
    if (error instanceof SteptoneError) return error.parts.found;
    throw error;
  }
}
