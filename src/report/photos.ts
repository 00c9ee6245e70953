import type { Photo } from '../model/bay-notes.ts';
import { type Html, html } from './html.ts';

/** Photos that a page shows, as `data:` addresses by their names in the session; all others are only named. */
export type PhotoImages = ReadonlyMap<string, string>;

export const NO_IMAGES: PhotoImages = new Map();

/** What a page may come to, so that it still goes through e-mail. */
const MOST_PAGE_BYTES = 6_000_000;
/** What stands around a photo in the page, generously. */
const BYTES_AROUND_A_PHOTO = 1000;

/** First bytes: a JPEG's start of image and the next marker (ITU-T T.81, B.1.1.3), a PNG's signature (ISO/IEC 15948, 5.2). */
const FIRST_BYTES = {
  'image/jpeg': [0xff, 0xd8, 0xff],
  'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
} as const;
type PhotoKind = keyof typeof FIRST_BYTES;

/** What an image is by its bytes, whatever its name says; null for anything that pages do not take. */
export function photoKind(bytes: Uint8Array): PhotoKind | null {
  const kinds = Object.keys(FIRST_BYTES) as PhotoKind[];
  return kinds.find((kind) => FIRST_BYTES[kind].every((byte, i) => bytes[i] === byte)) ?? null;
}

/** A page with as many of its photos, in their order, as it has room for. */
export function pageWithPhotos(render: (images: PhotoImages) => string, images: PhotoImages): string {
  const bare = render(NO_IMAGES);
  if (images.size === 0) return bare;
  let room = MOST_PAGE_BYTES - new TextEncoder().encode(bare).length;
  const shown = [...images].filter(([, address]) => {
    const bytes = address.length + BYTES_AROUND_A_PHOTO;
    if (bytes > room) return false;
    room -= bytes;
    return true;
  });
  return shown.length === 0 ? bare : render(new Map(shown));
}

/** Each photo with its caption; the name of the file where the page does not hold it. */
export function photoFigures(photos: readonly Photo[], images: PhotoImages): Html[] {
  return photos.map(({ file, caption }) => {
    const address = images.get(file);
    const named = caption === file ? file : `${caption} (${file})`;
    return address === undefined
      ? html`<p>Photo: ${named}</p>`
      : html`<figure class="photo"><img src="${address}" alt="${caption}" style="max-width: 100%; max-height: 11cm"><figcaption>${named}</figcaption></figure>`;
  });
}
