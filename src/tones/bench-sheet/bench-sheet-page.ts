/** The page around the bench sheet: two sides of A4 or Letter, thin black lines on white, no script, nothing loaded. */
export function benchSheetPage(sheet: {
  title: string;
  front: readonly string[];
  back: readonly string[];
}): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${sheet.title}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<section>
<h1>${sheet.title}</h1>
${sheet.front.join('\n')}
</section>
<section class="back">
${sheet.back.join('\n')}
</section>
</main>
</body>
</html>
`;
}

/** No paper size: the printer's own is right; both sides fit A4 and Letter at these sizes. */
const STYLE = `
@page { margin: 11mm 12mm; }
body { margin: 0; color: #000; background: #fff; font: 8.6pt/1.28 "Liberation Sans", Arial, sans-serif; }
main { max-width: 186mm; margin: 0 auto; padding: 4mm; }
h1 { font-size: 14pt; font-weight: normal; margin: 0 0 2mm; border-bottom: 0.3mm solid #000; }
h2 { font-size: 10pt; margin: 2.4mm 0 0.8mm; break-after: avoid; }
p { margin: 0 0 1.4mm; }
ol, ul { margin: 0; padding-left: 5mm; }
li { margin: 0 0 0.7mm; }
table { border-collapse: collapse; width: calc(100% - 0.3mm); margin: 0 0 1.4mm; }
th, td { border: 0.15mm solid #555; padding: 0.5mm 1mm; text-align: left; vertical-align: top; font-weight: normal; }
th { border-bottom: 0.3mm solid #000; }
tr { break-inside: avoid; }
.blanks { display: grid; grid-template-columns: repeat(4, 1fr); gap: 2.5mm 5mm; margin: 2.5mm 0; }
.blanks span:first-child { grid-column: span 3; }
.blanks span { border-bottom: 0.15mm solid #555; }
.ticks > span { white-space: nowrap; margin-right: 1.2mm; }
.stop { border: 0.4mm solid #000; padding: 1mm 1.5mm; }
.box { display: inline-block; margin-right: 0.8mm; width: 2.6mm; height: 2.6mm; border: 0.2mm solid #000; vertical-align: -0.3mm; }
.gap { display: inline-block; width: 20mm; border-bottom: 0.15mm solid #555; }
.gap.short { width: 8mm; }
.wires td { height: 7mm; width: 14%; text-align: right; vertical-align: bottom; }
.wires td:nth-child(1) { width: 7%; text-align: left; vertical-align: top; }
.wires td:nth-child(2) { width: 37%; text-align: left; vertical-align: top; }
.wires .known { float: left; }
.takes td { height: 3.8mm; padding-block: 0.3mm; white-space: nowrap; }
.takes td:nth-child(3), .takes td:nth-child(6) { text-align: right; }
.takes td:nth-child(5) { min-width: 27mm; }
.takes td:nth-child(6) { min-width: 11mm; }
.takes td:nth-child(2) { width: 34%; white-space: normal; }
.takes td:nth-child(7) { width: 14%; }
.pad { width: 105mm; display: block; margin: 0 0 1mm; }
.stick td:first-child { white-space: nowrap; }
@media screen and (max-width: 40rem) {
  table, thead, tbody, tr, th, td { display: block; width: auto !important; } thead { position: absolute; left: -100rem; }
  tr { border-bottom: 0.3mm solid #000; padding: 1mm 0; } td { border: 0; } td:empty { display: none; } .pad { width: 100%; } .blanks { grid-template-columns: 1fr; } .blanks span:first-child { grid-column: auto; }
  .wires td { height: auto; text-align: left; } .wires .known { float: none; } .takes td { display: inline; height: auto; padding: 0 2mm 0 0; text-align: left !important; white-space: normal; } .ticks > span { white-space: normal; }
  .wires td:nth-child(3)::before { content: "Left +: "; } .wires td:nth-child(4)::before { content: "Left −: "; } .wires td:nth-child(5)::before { content: "Right +: "; } .wires td:nth-child(6)::before { content: "Right −: "; }
}
@media print { main { max-width: none; padding: 0; } .back { break-before: page; } }
@media (prefers-color-scheme: dark) { body { background: #fff; color: #000; } }
`;
