/** How drawings of the chain look, in the report and on the sheets; colours are those of the page. */
export const DRAWING_STYLE = `
.chain { display: block; width: 100%; height: auto; font: 11px system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; fill: var(--ink, #000); }
.wide-chain, .narrow-chain { display: none; }
.chain .node { fill: var(--paper, #fff); stroke: var(--ink, #000); stroke-width: 1; }
.chain .first { stroke-width: 2.5; }
.chain .flag { fill: var(--ink, #000); }
.chain .flag-word { fill: var(--paper, #fff); font-weight: 600; }
.chain .gap { fill: var(--paper, #fff); }
.chain .wire { fill: none; stroke: var(--ink, #000); stroke-width: 1; }
.chain .power { fill: none; stroke: var(--ink, #000); stroke-width: 2; stroke-dasharray: 6 3; }
.chain .remark { paint-order: stroke; stroke: var(--paper, #fff); stroke-width: 3px; }
.chain :is(.name, .volts, .fuse) { font-size: 12px; font-weight: 600; }
.chain .foot { fill: var(--soft, #333); }
.chain .remark { fill: var(--warn, #000); }
@media screen and (max-width: 40rem) { .middle-chain { display: none; } .narrow-chain { display: block; } }
@media screen and (min-width: 63rem) { .first-screen .middle-chain { display: none; } .first-screen .wide-chain { display: block; } }
`;
