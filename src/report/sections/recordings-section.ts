import { ended } from '../../model/ended.ts';
import { isSameReason } from '../../model/reason.ts';
import type { MeasurementRecord, Results } from '../../model/results.ts';
import { listed } from '../../words/figures.ts';
import { reasonText } from '../../words/reason-text.ts';
import { aboutText, statementText } from '../../words/statement-text.ts';
import type { Anchors } from '../anchors.ts';
import { fixed, formatFileTime, formatPpm, formatSetting, plainDbFs, significant } from '../format.ts';
import { type Html, html } from '../html.ts';
import type { TakeRow } from '../take-rows.ts';
import type { TapLabel } from '../wording/statement.ts';

/** Every take that was used, and what was left out or doubted. */
export function recordingsSection(results: Results, anchors: Anchors, label: TapLabel): Html {
  return html`<section id="recordings"><h2>Recordings</h2>
<div class="scroll" tabindex="0" role="region" aria-label="Recordings, table"><table>
<thead><tr><th scope="col">Take</th><th scope="col">File</th><th scope="col">Setting</th><th scope="col">Starts at</th><th scope="col">Clock</th><th scope="col">Supply</th><th scope="col">Channels, with their peaks</th><th scope="col">Remarks</th></tr></thead>
<tbody>${anchors.rows.map((row) => takeRow(row, label))}</tbody></table></div>${dashPart(results, label)}${notesList(results)}</section>`;
}

function takeRow({ anchor, number, evidence, channels }: TakeRow, label: TapLabel): Html {
  const [{ measurement }] = channels;
  const taps = channels.map(
    (channel, i) =>
      html`${i === 0 ? '' : '; '}<span class="whole">${channel.evidence.channel} ${label(channel.measurement.tapId)} ${plainDbFs(channel.measurement.recorder.peakDbFs)}</span>`,
  );
  return html`<tr id="${anchor}"><td>${number}</td><th scope="row">${evidence.file}</th>
<td>${formatSetting(evidence.setting)}</td><td>${formatFileTime(evidence.takeStartSeconds)}</td>
<td class="whole">${formatPpm(measurement.recorder.clockPpm)}</td><td class="whole">${measurement.supplyVolts === null ? 'not noted' : `${significant(measurement.supplyVolts, 3)} V`}</td>
<td>${taps}</td><td>${remarks(channels, label)}</td></tr>`;
}

/** Each remark once, with the taps that it is about where it is not about all of the take. */
function remarks(channels: TakeRow['channels'], label: TapLabel): string {
  const taps = new Map<string, string[]>();
  for (const { measurement } of channels) {
    for (const text of remarksOf(measurement)) {
      taps.set(text, [...(taps.get(text) ?? []), label(measurement.tapId)]);
    }
  }
  return [...taps]
    .map(([text, about]) => (about.length === channels.length ? text : `${listed(about)}: ${text}`))
    .join('; ');
}

function remarksOf({ recorder, repeats }: MeasurementRecord): string[] {
  return [
    ...(recorder.clippedRuns > 0 ? [`recorder clipped ${recorder.clippedRuns} times`] : []),
    ...(repeats.count > 1
      ? [`${repeats.count} takes averaged, ${fixed(repeats.spreadDb, 2)} dB apart at most`]
      : []),
  ];
}

/** What `steptone check` says of the same recordings. */
function dashPart({ checks }: Results, label: TapLabel): Html {
  if (checks === undefined) return html``;
  const { mayCloseDash, reasons, takes, recordNext, soFar, notes } = checks;
  const answer = mayCloseDash
    ? 'yes.'
    : ended(`no, ${reasons.map((one) => statementText(one, label)).join('; ')}`);
  const said = takes.flatMap(({ facts, remarks }) =>
    remarks.map((remark) => ({
      where: `${facts.file} at ${formatFileTime(facts.takeStartSeconds)}`,
      text: statementText({ ...remark, settings: [] }, label),
    })),
  );
  const next = recordNext.map(({ tapIds, settings, why, because, needed }) => ({
    where: `${needed ? 'Record next' : 'If you have time'}: ${aboutText({ tapIds, settings }, label)}`,
    text: statementText({ tapIds: [], settings: [], reason: why, because }),
  }));
  const known = soFar.map((one) => ({
    where: one.tapIds.map(label).join(', '),
    text: one.known.map(reasonText).join('; '),
  }));
  const looks = notes.map((note) => ({ where: 'To look at', text: statementText(note, label) }));
  const items = [...known, ...said, ...looks, ...next].map(
    ({ where, text }) => html`<li><b>${where}:</b> ${text}</li>`,
  );
  return html`<h3>While the dash is open</h3><p>You may close the dash: ${answer}</p>${
    items.length === 0 ? html`` : html`<ul class="notes">${items}</ul>`
  }`;
}

/** What the installer noted stands among the facts of the session; here is what the tool noted. */
function notesList({ notes, session }: Results): Html {
  const own = notes.filter(
    ({ file, reason }) => file !== null || !session.notes.some((note) => isSameReason(note, reason)),
  );
  if (own.length === 0) return html`<p>Nothing was left out.</p>`;
  return html`<h3>Left out, repaired or doubted</h3><ul class="notes">${own.map(
    ({ file, reason }) => html`<li>${file === null ? '' : html`<b>${file}:</b> `}${reasonText(reason)}</li>`,
  )}</ul>`;
}
