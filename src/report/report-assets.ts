/** What the page is made of besides the results; whoever renders it reads the files and brings the hash. */
export interface ReportAssets {
  readonly pageHtml: string;
  readonly style: string;
  readonly script: string;
  readonly plotting: PackedScript;
  /** SHA-256 of a text in UTF-8, base64: what a content policy names a script by. */
  readonly sha256Base64: (text: string) => string;
}

/** A script that the page unpacks when it is needed: a third of the bytes, and nothing to read before that. */
export interface PackedScript {
  /** Its text in UTF-8, raw deflate (RFC 1951), as `base85.ts` writes it. */
  readonly deflatedBase85: string;
  /** SHA-256 of the unpacked text, base64. */
  readonly sha256Base64: string;
}

/** Files of the folder `report-template/`. */
export const REPORT_TEMPLATE_FILES = { pageHtml: 'page.html', style: 'page.css', script: 'page.js' } as const;

/** The plotting library as its package has it: the bundle with lines and contours, a third of the full one. */
export const PLOTLY_FILE = 'plotly.js-cartesian-dist-min/plotly-cartesian.min.js';
