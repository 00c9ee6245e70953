import { SteptoneError } from '../model/errors.ts';
import { photoFilesOf } from '../model/photo-files.ts';
import { asWritten, type Reason } from '../model/reason.ts';
import { type PhotoImages, photoKind } from '../report/photos.ts';
import { bytesOf, type JobFolder, withFile } from './job-folder.ts';
import type { LoadedSession } from './load-session.ts';

/** A page of 6 MB has no room for more, base64 counted. */
const MOST_PHOTO_BYTES = 4_000_000;

export interface ReadPhotos {
  readonly images: PhotoImages;
  /** Those that pages can only name, and why. */
  readonly remarks: readonly { readonly file: string; readonly reason: Reason }[];
}

/** The photos of a session that pages can show. One that is missing, too large or no image stops nothing. */
export function readPhotos({ folder, session }: LoadedSession): ReadPhotos {
  const images = new Map<string, string>();
  const remarks: { file: string; reason: Reason }[] = [];
  for (const file of photoFilesOf(session)) {
    const found = dataAddress(folder, file);
    if (typeof found === 'string') images.set(file, found);
    else remarks.push({ file, reason: found });
  }
  return { images, remarks };
}

/** `data:` and the photo, or why not. */
function dataAddress(folder: JobFolder, file: string): string | Reason {
  try {
    return withFile({ folder, file }, (source) => {
      if (source.byteLength > MOST_PHOTO_BYTES)
        return { code: 'photo too large', mostMegabytes: MOST_PHOTO_BYTES / 1e6 };
      const bytes = bytesOf(source);
      const kind = photoKind(bytes);
      return kind === null ? { code: 'no photo' } : `data:${kind};base64,${base64(bytes)}`;
    });
  } catch (error) {
    if (error instanceof SteptoneError) return asWritten(error.parts.found);
    throw error;
  }
}

/** RFC 4648. In pieces, since a call takes so many arguments only. */
function base64(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += 8192)
    text += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(text);
}
