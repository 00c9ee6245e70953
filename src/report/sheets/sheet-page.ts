import { DRAWING_STYLE } from '../drawing/drawing-style.ts';
import { Html, html } from '../html.ts';
import { sentenceHtml } from '../sentence.ts';
import type { Statement } from '../wording/statement.ts';

/** Thin lines on paper: nothing is fetched and nothing runs. */
const STYLE = new Html(`${DRAWING_STYLE}
body { max-width: 46rem; margin: 1rem auto; padding: 0 1rem; background: #fff; color: #000; font: 9.5pt/1.32 Georgia, serif; }
h1 { font-size: 14pt; margin: 0 0 .2rem; } .head { display: flex; flex-wrap: wrap; align-items: baseline; justify-content: space-between; gap: 0 1rem; } h2 { font-size: 10.5pt; margin: .6rem 0 .2rem; border-top: 1px solid #000; padding-top: .25rem; }
p { margin: .25rem 0; }
table { border-collapse: collapse; width: 100%; font: 8pt/1.3 system-ui, sans-serif; }
th, td { border-bottom: 1px solid #999; padding: .16rem .5rem .16rem 0; text-align: left; vertical-align: top; }
.steps { font-size: 7.3pt; line-height: 1.14; } .steps { table-layout: fixed; } .steps :is(th, td) { padding-block: .05rem; padding-right: .3rem; } .steps td .blank { min-width: 2.6rem; line-height: 1; } small { font-size: .93em; }
.in-dbu { display: none; } .in-awg::before { content: " ("; } .in-awg::after { content: ")"; }
.box { display: inline-block; width: .9em; height: .9em; border: 1px solid #000; }
.blank { display: inline-block; min-width: 9rem; border-bottom: 1px solid #000; } td .blank { min-width: 3.5rem; }
.not-known { font-style: italic; border-left: 3px double #000; padding-left: .5rem; }
tr, li, figure, section:not(:has(table, figure)) { break-inside: avoid; } figure { margin: .6rem 0; } h2 { break-after: avoid; } ul, ol { margin: .1rem 0; padding-left: 1.1rem; }
.beside { display: grid; grid-template-columns: 1fr 1fr; gap: .6rem; } .beside figure { min-width: 0; }
.drawing { border-top: 1px solid #000; padding-top: .3rem; break-inside: avoid; } h2 + .drawing, h2 + .small .drawing { border: 0; padding: 0; }
.wrong { color: #333; } .even { table-layout: fixed; } .even :is(th, td):first-child { width: 15%; } .even td .blank { min-width: 3rem; } .drawing + table { margin-top: .5rem; }
@media screen and (max-width: 40rem) {
  table, thead, tbody, tr, th, td { display: block; } thead { position: absolute; left: -100rem; } tr { border-bottom: 1px solid #999; padding: .3rem 0; }
  th, td, .even :is(th, td):first-child { width: auto; } th, td { border: 0; padding: .1rem 0; } td:empty { display: none; } td[data-name]:not([data-name=""])::before { content: attr(data-name) ": "; color: #333; } .beside { grid-template-columns: 1fr; }
  td, dd { overflow-wrap: anywhere; }
}
@media print { .small .middle-chain { width: 40%; } .back { break-before: page; } .full { font-size: 8.4pt; line-height: 1.2; } .full .middle-chain { width: 83%; } .full :is(p, ul) { margin: .1rem 0; } }
@page { margin: 7mm 12mm; } @media print { body { margin: 0; padding: 0; max-width: none; } }
`);

/** A page to print: A4 or Letter, no script, no other file. */
export function sheetPage({ title, name, body }: { title: string; name: string; body: Html }): string {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${name}: ${title}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<div class="head"><h1>${title}</h1><p>${name}. Date: ${blank()} Done by: ${blank()}</p></div>
${body}
</main>
</body>
</html>
`.text;
}

/** A line to write on. */
export function blank(): Html {
  return html`<span class="blank">&nbsp;</span>`;
}

/** A box to tick. */
export function tickBox(): Html {
  return html`<span class="box" role="img" aria-label="to tick"></span>`;
}

/** A table that a phone shows as a list: each cell brings the name of its column. */
export function sheetTable(
  columns: readonly string[],
  rows: readonly (readonly (Html | string)[])[],
  className = '',
): Html {
  return html`<table${className === '' ? '' : new Html(` class="${className}"`)}><thead><tr>${columns.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead><tbody>${rows.map(
    ([first, ...cells]) =>
      html`<tr><th scope="row">${first}</th>${cells.map((cell, i) => html`<td data-name="${columns[i + 1]}">${cell}</td>`)}</tr>`,
  )}</tbody></table>`;
}

export function sheetSection(title: string, body: Html): Html {
  return html`<section><h2>${title}</h2>${body}</section>`;
}

export function sheetList(statements: readonly Statement[]): Html {
  return html`<ul>${statements.map(
    ({ sentence, known }) =>
      html`<li class="${known ? 'known' : 'not-known'}">${sentenceHtml(sentence)}</li>`,
  )}</ul>`;
}
