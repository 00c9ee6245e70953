import type { NotedWire, Photo } from '../model/bay-notes.ts';
import { recommendationsOf } from '../model/recommendation.ts';
import type { Results } from '../model/results.ts';
import type { Tap } from '../model/session.ts';
import { type Html, html } from './html.ts';
import { feedName } from './wording/feed-words.ts';

/** Taps of which something was noted: wires, plug, a word, photos. */
export function notedTaps({ session }: Results): Tap[] {
  return session.taps.filter(({ plus, minus, connector, note, photos }) =>
    [plus, minus, connector, note, photos].some((one) => one !== undefined),
  );
}

/** What was tapped where, a row a tap; the caller says that there are such taps. */
export function tapNotesTable(results: Results): Html {
  const feeds = recommendationsOf(results.recommendations, 'feed');
  const rows = notedTaps(results).map(({ id, label, plus, minus, connector, note }) => {
    const fed = feeds.filter(({ taps }) => taps.some(({ tapId }) => tapId === id)).map(feedName);
    return html`<tr><th scope="row">${label}</th><td data-name="Feeds">${fed.length === 0 ? 'measured only' : fed.join(', ')}</td>
<td data-name="Plus">${wireText(plus)}</td><td data-name="Minus">${wireText(minus)}</td><td data-name="Plug">${connector ?? 'not noted'}</td><td data-name="Note">${note ?? ''}</td></tr>`;
  });
  return html`<table><thead><tr><th scope="col">Output</th><th scope="col">Feeds</th><th scope="col">Plus</th><th scope="col">Minus</th><th scope="col">Plug</th><th scope="col">Note</th></tr></thead><tbody>${rows}</tbody></table>`;
}

/** "plus white (pin 3), minus white/black; grey, 16 pins"; empty where nothing was noted. */
export function tapNoteLine({ plus, minus, connector, note, photos }: Tap): string {
  const wires = [
    ...(plus === undefined ? [] : [`plus ${wireText(plus)}`]),
    ...(minus === undefined ? [] : [`minus ${wireText(minus)}`]),
  ].join(', ');
  const named = photos === undefined ? '' : `photo ${photos.map(({ file }) => file).join(', ')}`;
  return [wires, connector, note, named].filter(Boolean).join('; ');
}

/** Photos of the taps, with the tap before the caption, then those of the whole job. */
export function photosOf({ session }: Results): Photo[] {
  const ofTaps = session.taps.flatMap(({ label, photos = [] }) =>
    photos.map(({ file, caption }) => ({
      file,
      caption: caption === file ? label : `${label}: ${caption}`,
    })),
  );
  return [...ofTaps, ...(session.photos ?? [])];
}

function wireText(wire: NotedWire | undefined): string {
  if (wire === undefined) return 'not noted';
  const { colour, pin } = wire;
  if (pin === undefined) return colour ?? 'not noted';
  return colour === undefined ? `pin ${pin}` : `${colour} (pin ${pin})`;
}
