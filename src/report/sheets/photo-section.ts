import type { Results } from '../../model/results.ts';
import { type Html, html } from '../html.ts';
import { type PhotoImages, photoFigures } from '../photos.ts';
import { photosOf } from '../tap-notes.ts';
import { sheetSection } from './sheet-page.ts';

/** The photos of the bay at the end of a sheet; nothing where there are none. */
export function photoSection(results: Results, images: PhotoImages): Html {
  const photos = photosOf(results);
  if (photos.length === 0) return html``;
  return sheetSection('Photos', html`${photoFigures(photos, images)}`);
}
