import type { Results } from '../../model/results.ts';
import { reasonText } from '../../words/reason-text.ts';
import { formatSetting, significant } from '../format.ts';
import { type Html, html } from '../html.ts';
import type { TapLabel } from '../wording/statement.ts';
import { capitalised } from '../wording/statement.ts';

/** What this page was made from: version, session and the hashes of the inputs. */
export function aboutSection(results: Results, label: TapLabel): Html {
  const facts = sessionFacts(results, label).map(([name, text]) => html`<dt>${name}</dt><dd>${text}</dd>`);
  const inputs = results.inputs.map(
    ({ file, sha256, byteLength }) =>
      html`<tr><th scope="row">${file}</th><td>${byteLength}</td><td class="hash">${sha256}</td></tr>`,
  );
  return html`<section id="about"><h2>What this page was made from</h2><dl class="facts">${facts}</dl>
<div class="scroll" tabindex="0" role="region" aria-label="Inputs, table"><table>
<thead><tr><th scope="col">Input</th><th scope="col">Bytes</th><th scope="col">SHA-256</th></tr></thead><tbody>${inputs}</tbody></table></div></section>`;
}

function sessionFacts({ toolVersion, version, session }: Results, label: TapLabel): [string, string][] {
  const { supply, referenceTapId, notes } = session;
  return [
    ['Made by', `Steptone ${toolVersion}, results format ${version}`],
    ['Session', session.name],
    ['Source played', session.source],
    ['Settings', session.settings.map(formatSetting).join(', ')],
    ['Calibration', calibrationText(session.calibration)],
    ['Reference tap', referenceTapId === null ? 'none' : label(referenceTapId)],
    ['Supply', supply.volts === null ? 'not noted' : `${significant(supply.volts, 3)} V`],
    ['Engine', engineText(supply.engineRunning)],
    ['Taps', session.taps.map((tap) => `${tap.label} (${tap.connection}, loaded by ${tap.load})`).join('; ')],
    ...notes.map((note): [string, string] => ['Note', capitalised(reasonText(note))]),
  ];
}

function calibrationText(calibration: Results['session']['calibration']): string {
  switch (calibration.kind) {
    case 'pad':
      return `pad ${significant(calibration.padRatio, 4)} to 1, full scale ${significant(calibration.fullScaleVoltsRms, 4)} V RMS, tolerance ${calibration.tolerancePercent} %`;
    case 'tone':
      return `tone of ${significant(calibration.voltsRms, 4)} V RMS in ${calibration.file}, channel ${calibration.channel}, tolerance ${calibration.tolerancePercent} %`;
    case 'none':
      return 'none: levels are in full-scale units of the recording';
  }
}

function engineText(running: boolean | null): string {
  if (running === null) return 'not noted';
  return running ? 'running' : 'off';
}
