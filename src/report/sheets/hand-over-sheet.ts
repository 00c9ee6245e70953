import { isSameReason } from '../../model/reason.ts';
import type { Results } from '../../model/results.ts';
import { type Html, html } from '../html.ts';
import { NO_IMAGES, type PhotoImages } from '../photos.ts';
import { say } from '../sentence.ts';
import { tapLabelOf } from '../tap-label.ts';
import { notedTaps, tapNotesTable } from '../tap-notes.ts';
import {
  fuseAndWire,
  howLoud,
  ifSomethingChanges,
  LEFT_IN_ORDER,
  undoSteps,
  whatBass,
  whatStays,
  whatWeDid,
} from '../wording/customer-words.ts';
import { known, type Statement } from '../wording/statement.ts';
import { drawnBeforeAndNow } from './before-and-now.ts';
import { photoSection } from './photo-section.ts';
import { blank, sheetList, sheetPage, sheetSection, sheetTable, tickBox } from './sheet-page.ts';

/** For the customer: the front says what was done and how to use it, the back keeps what a workshop needs to know. */
export function renderHandOverSheet(results: Results, images: PhotoImages = NO_IMAGES): string {
  const { source, name, doubts = [] } = results.session;
  const notes = results.session.notes.flatMap((note) =>
    note.code === 'as written' && !doubts.some((doubt) => isSameReason(doubt, note)) ? [note.text] : [],
  );
  const label = tapLabelOf(results);
  const others = results.chain?.player.others ?? [];
  const tapped = notedTaps(results).length > 0;
  return sheetPage({
    title: 'Your car: what we did and how to use it',
    name,
    body: html`${section('What we did', whatWeDid(results, label))}
${drawnBeforeAndNow(results)}
${section('How loud', howLoud(results))}
<p>Measured while playing from: ${source}. ${others.length === 0 ? 'Other sources' : 'Further sources'} tried, and how far up they stay clean: ${blank()}</p>
<p>Handed over: ${LEFT_IN_ORDER.map((one) => html`${tickBox()} ${one} `)}</p>
<p>Customer: ${blank()} Shop: ${blank()}</p>
<div class="back">${sheetSection('If something changes', sheetTable(['You notice', 'Do this'], ifSomethingChanges(results)))}
${section('What to expect from the bass', whatBass(results))}
${section('What stays', whatStays(results, label))}
${sheetSection('Parts fitted', partsTable(results))}
${section('Fuse and wire', fuseAndWire(results))}
<p>Main fuse fitted: ${blank()} Wire: ${blank()} Where the adapters and fuses are: ${blank()}</p>
${sheetSection('To undo it', html`<ol>${undoSteps(tapped).map((step) => html`<li>${step}</li>`)}</ol>`)}
${tapped ? tapNotesTable(results) : ''}
${section(
  'Notes',
  notes.map((note) => known(say`${note}`)),
)}</div>
${photoSection(results, images)}`,
  });
}

function section(title: string, statements: readonly Statement[]): Html {
  return statements.length === 0 ? html`` : sheetSection(title, sheetList(statements));
}

const FURTHER = 'further part';

/** What the session names, then room for what else went in. */
function partsTable({ session }: Results): Html {
  const { converter = null, amplifiers = [], speakers = [] } = session.equipment ?? {};
  const names = [
    ...(converter === null ? [] : [converter.name]),
    ...amplifiers.map(({ name, feeds }) => `${name} (${feeds.join(', ')})`),
    ...speakers.filter(({ factory }) => !factory).map(({ feeds }) => `speakers (${feeds})`),
  ];
  const rows = [...names, FURTHER, FURTHER].map((name) => [name, blank(), blank(), blank()]);
  return sheetTable(['Part', 'Make and serial number', 'Warranty until', 'Place in the car'], rows);
}
