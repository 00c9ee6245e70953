import type { Results } from '../model/results.ts';
import type { Verification, VerifiedFeed } from '../model/verification.ts';
import { significant } from '../report/format.ts';
import { type Html, html } from '../report/html.ts';
import { drawnBeforeAndNow } from '../report/sheets/before-and-now.ts';
import { sheetPage, sheetSection, sheetTable } from '../report/sheets/sheet-page.ts';
import { noteText } from '../words/note-text.ts';
import { plainFeed } from '../words/plain-feed.ts';
import { reasonText } from '../words/reason-text.ts';
import { beforeAndAfter } from './picture.ts';

const MARKS = { pass: 'pass', fail: 'FAIL', 'not told': 'not told' } as const;
/** The lowest and the highest recorded setting show what there is to see; a job needs no page for each. */
const MOST_PICTURES = 2;

/**
 * The proof of an install as a page to print: pass or fail, what to turn in the order of work, the chain before and now,
 * before and after of each feed, every proof. No script, no other file; every text of the user's is escaped.
 *
 * @param plan what was installed; null where there is none to draw
 */
export function proofPage(verification: Verification, plan: Results | null): string {
  const { name, passes, turn, feeds, notRecorded, notes } = verification;
  return sheetPage({
    title: passes ? 'Proof of the install: passed' : 'Proof of the install: failed',
    name,
    body: html`${turn.length === 0 ? html`<p>Everything you recorded is as planned.</p>` : toDo(turn)}
${notRecorded.length === 0 ? '' : html`<p>Not recorded: ${notRecorded.map(plainFeed).join(', ')}.</p>`}
${plan === null ? '' : drawnBeforeAndNow(plan)}
${feeds.map(feedSection)}
${notes.length === 0 ? '' : sheetSection('Noted', html`<ul>${notes.map((note) => html`<li>${noteText(note)}</li>`)}</ul>`)}
${aboutSection(verification)}`,
  });
}

function toDo(turn: Verification['turn']): Html {
  return sheetSection(
    'Do this, in this order',
    html`<ol>${turn.map(({ feedId, knob, text }) => html`<li><strong>${plainFeed(feedId)}, ${knob}:</strong> ${reasonText(text)}.</li>`)}</ol>`,
  );
}

function feedSection(feed: VerifiedFeed): Html {
  const { asLeft, output, side, tapId, node, restoration, proofs, curves } = feed;
  const shown = curves.length <= MOST_PICTURES ? curves : [curves[0], curves[curves.length - 1]];
  const how = restoration === 'none' ? '' : `, bass restoration ${restoration}`;
  return sheetSection(
    `${output}${side === 'both' ? '' : ` ${side}`}: ${tapId}`,
    html`<p>Recorded at the ${node}${how}.</p>${asLeftLines(asLeft)}
${sheetTable(
  ['Proof', 'Setting', 'Verdict', 'Found', 'Allowed'],
  proofs.map(({ what, setting, verdict, text, unit, tolerance }) => [
    what,
    String(setting ?? 'all'),
    verdict === 'fail' ? html`<strong>${MARKS[verdict]}</strong>` : MARKS[verdict],
    reasonText(text),
    tolerance === null ? '' : allowed(unit, tolerance),
  ]),
)}
<div class="beside">${shown.map((curve) => beforeAndAfter(feed, curve))}</div>`,
  );
}

/** For whoever measures years later. */
function asLeftLines(asLeft: VerifiedFeed['asLeft']): Html[] {
  const settings = [...new Set(asLeft.map(({ setting }) => setting))];
  return settings.map((at) => {
    const readings = asLeft
      .filter(({ setting }) => setting === at)
      .map(({ toneHz, voltsRms }) => `${toneHz} Hz ${significant(voltsRms, 3)} V`);
    return html`<p>As left at setting ${at}, full-scale tone: ${readings.join(', ')}.</p>`;
  });
}

/** Levels and drives in decibels; corners as a share; arrivals in time; noise may be more by so much. */
function allowed(unit: VerifiedFeed['proofs'][number]['unit'], tolerance: number): string {
  switch (unit) {
    case 'Hz':
      return `± ${(100 * (tolerance - 1)).toFixed(0)} %`;
    case 'microseconds':
      return `± ${tolerance.toFixed(0)} µs`;
    case 'V RMS':
      return `+ ${tolerance.toFixed(0)} dB`;
    default:
      return `± ${tolerance.toFixed(1)} dB`;
  }
}

function aboutSection({ toolVersion, inputs }: Verification): Html {
  return sheetSection(
    'How this page was made',
    html`<p>Steptone ${toolVersion}, from these files (SHA-256):</p>${sheetTable(
      ['File', 'SHA-256'],
      inputs.map(({ file, sha256 }) => [file, sha256]),
    )}<p>Advice from measurements: the maker’s service information, local codes and licensed practice come first.</p>`,
  );
}
