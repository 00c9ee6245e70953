import type { MeasurementRecord, Results } from '../../model/results.ts';
import type { Anchors, Take } from '../anchors.ts';
import { fixed, formatFileTime, formatPpm, formatSetting, plainDbFs, significant } from '../format.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';

/** Every take that was used, and what was left out or doubted. */
export function recordingsSection(results: Results, anchors: Anchors, label: TapLabel): Html {
  const rows = anchors.takes.map((take) => takeRow(take, measurementOf(results, take), label));
  return html`<section id="recordings"><h2>Recordings</h2>
<div class="scroll" tabindex="0" role="region" aria-label="Recordings, table"><table>
<thead><tr><th scope="col">File</th><th scope="col">Channel</th><th scope="col">Tap</th><th scope="col">Setting</th><th scope="col">Starts at</th><th scope="col">Clock</th><th scope="col">Peak</th><th scope="col">Supply</th><th scope="col">Remarks</th></tr></thead>
<tbody>${rows}</tbody></table></div>${dashPart(results, label)}${notesList(results)}</section>`;
}

function measurementOf(results: Results, { tapId, evidence }: Take): MeasurementRecord | undefined {
  return results.measurements.find(
    (measurement) => measurement.tapId === tapId && measurement.evidence.includes(evidence),
  );
}

function takeRow(
  { anchor, evidence, tapId }: Take,
  measurement: MeasurementRecord | undefined,
  label: TapLabel,
): Html {
  const recorder = measurement?.recorder;
  return html`<tr id="${anchor}"><th scope="row">${evidence.file}</th><td>${evidence.channel}</td><td>${label(tapId)}</td>
<td>${formatSetting(evidence.setting)}</td><td>${formatFileTime(evidence.takeStartSeconds)}</td>
<td>${recorder === undefined ? '' : formatPpm(recorder.clockPpm)}</td><td>${recorder === undefined ? '' : plainDbFs(recorder.peakDbFs)}</td>
<td>${measurement?.supplyVolts == null ? 'not noted' : `${significant(measurement.supplyVolts, 3)} V`}</td><td>${measurement === undefined ? '' : remarks(measurement)}</td></tr>`;
}

function remarks({ recorder, repeats }: MeasurementRecord): string {
  const list = [
    ...(recorder.clippedRuns > 0 ? [`recorder clipped ${recorder.clippedRuns} times`] : []),
    ...(repeats.count > 1
      ? [`${repeats.count} takes averaged, ${fixed(repeats.spreadDb, 2)} dB apart at most`]
      : []),
  ];
  return list.join('; ');
}

/** What `steptone check` says of the same recordings. */
function dashPart({ checks }: Results, label: TapLabel): Html {
  if (checks === undefined) return html``;
  const { mayCloseDash, reasons, takes, recordNext } = checks;
  const answer = mayCloseDash ? 'yes.' : `no, ${reasons.join('; ')}.`;
  const said = takes.flatMap(({ facts, remarks }) =>
    remarks.map(({ text }) => ({
      where: `${facts.file} at ${formatFileTime(facts.takeStartSeconds)}`,
      text,
    })),
  );
  const next = recordNext.map(({ tapIds, settings, why }) => ({
    where: `Record next: ${tapIds.map(label).join(', ')}${settings.length === 0 ? '' : ` at ${settings.map(formatSetting).join(', ')}`}`,
    text: why,
  }));
  const items = [...said, ...next].map(({ where, text }) => html`<li><b>${where}:</b> ${text}</li>`);
  return html`<h3>While the dash is open</h3><p>You may close the dash: ${answer}</p>${
    items.length === 0 ? html`` : html`<ul class="notes">${items}</ul>`
  }`;
}

function notesList({ notes }: Results): Html {
  if (notes.length === 0) return html`<p>Nothing was left out.</p>`;
  return html`<h3>Left out, repaired or doubted</h3><ul class="notes">${notes.map(
    ({ file, text }) => html`<li>${file === null ? '' : html`<b>${file}:</b> `}${text}</li>`,
  )}</ul>`;
}
