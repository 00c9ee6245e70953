import type { Results } from '../../model/results.ts';
import { type Html, html } from '../html.ts';
import { type PhotoImages, photoFigures } from '../photos.ts';
import { notedTaps, photosOf, tapNotesTable } from '../tap-notes.ts';

/** Wires, plugs and photos as noted in the bay; nothing where nothing was noted. */
export function tapsSection(results: Results, images: PhotoImages): Html {
  const photos = photosOf(results);
  const noted = notedTaps(results).length > 0;
  if (!noted && photos.length === 0) return html``;
  const table = noted
    ? html`<div class="scroll" tabindex="0" role="region" aria-label="Taps, table">${tapNotesTable(results)}</div>`
    : html``;
  return html`<section id="taps"><h2>Where the factory wires were tapped</h2>${table}<div class="figures">${photoFigures(photos, images)}</div></section>`;
}
