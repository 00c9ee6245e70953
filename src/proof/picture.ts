import type { VerifiedFeed } from '../model/verification.ts';
import { type Html, html } from '../report/html.ts';

const WIDTH = 420;
const HEIGHT = 220;
const LEGEND_ROW = 13;
const LEFT = 46;
const BOTTOM = 34;
const TOP = 10;
const FROM_HZ = 20;
const TO_HZ = 20_000;
/** Decibels shown about the middle of the planned band. */
const HIGHEST_DB = 12;
const LOWEST_DB = -30;
const STEP_DB = 6;
/** Nominal octave midband frequencies (IEC 61260-1). */
const TICKS_HZ = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000];
const POINT_STEP = 2;

/** The three are told apart by dash and width, not by colour alone. */
const LINES = [
  { key: 'beforeDb', name: 'before: as the radio gives it', width: 1, dash: '2 3' },
  { key: 'plannedDb', name: 'planned', width: 1.2, dash: '8 4' },
  { key: 'afterDb', name: 'after: as recorded', width: 2.2, dash: 'none' },
] as const;

/** Before, planned and after in one drawing, thin lines on paper; nothing runs in it. */
export function beforeAndAfter(feed: VerifiedFeed, curve: VerifiedFeed['curves'][number]): Html {
  const title = `Setting ${curve.setting}: before, planned and after`;
  return html`<figure><svg viewBox="0 0 ${WIDTH} ${HEIGHT + LEGEND_ROW * LINES.length + 4}" role="img" aria-label="${title}">
<title>${title}</title>
${grid()}
${LINES.map(
  ({ key, width, dash }) =>
    html`<path d="${pathOf(feed.frequencyHz, curve[key])}" fill="none" stroke="#000" stroke-width="${width}" stroke-dasharray="${dash}"/>`,
)}
${LINES.map(({ name, width, dash }, i) => legendEntry({ name, width, dash, i }))}
</svg><figcaption>${title}. 0 dB is the middle of the planned band.</figcaption></figure>`;
}

function grid(): Html {
  const levels = Array.from(
    { length: (HIGHEST_DB - LOWEST_DB) / STEP_DB + 1 },
    (_, i) => LOWEST_DB + i * STEP_DB,
  );
  return html`<g stroke="#bbb" stroke-width=".5">${TICKS_HZ.map(
    (hz) => html`<line x1="${x(hz)}" x2="${x(hz)}" y1="${TOP}" y2="${HEIGHT - BOTTOM}"/>`,
  )}${levels.map((db) => html`<line x1="${LEFT}" x2="${WIDTH - 6}" y1="${y(db)}" y2="${y(db)}"/>`)}</g>
<g font-size="10" font-family="system-ui, sans-serif">${TICKS_HZ.map(
    (hz) =>
      html`<text x="${x(hz)}" y="${HEIGHT - BOTTOM + 13}" text-anchor="middle">${hz < 1000 ? hz : `${hz / 1000}k`}</text>`,
  )}${levels.map((db) => html`<text x="${LEFT - 5}" y="${y(db) + 3}" text-anchor="end">${String(db).replace('-', '\u2212')}</text>`)}
<text x="${LEFT}" y="${HEIGHT - 5}">Hz, and dB</text></g>`;
}

function legendEntry({
  name,
  width,
  dash,
  i,
}: {
  name: string;
  width: number;
  dash: string;
  i: number;
}): Html {
  const start = LEFT;
  const at = HEIGHT + 6 + LEGEND_ROW * i;
  return html`<line x1="${start}" x2="${start + 30}" y1="${at}" y2="${at}" stroke="#000" stroke-width="${width}" stroke-dasharray="${dash}"/><text x="${start + 36}" y="${at + 4}" font-size="11" font-family="system-ui, sans-serif">${name}</text>`;
}

/** Gaps where the recording is not trusted or runs out of the picture. */
function pathOf(frequencyHz: readonly number[], db: readonly (number | null)[]): string {
  let path = '';
  let drawing = false;
  for (let i = 0; i < db.length; i += POINT_STEP) {
    const [hz, value] = [frequencyHz[i], db[i]];
    const shown = value !== null && hz >= FROM_HZ && hz <= TO_HZ && value >= LOWEST_DB && value <= HIGHEST_DB;
    if (shown) path += `${drawing ? 'L' : 'M'}${x(hz)} ${y(value)}`;
    drawing = shown;
  }
  return path;
}

function x(hz: number): string {
  const share = Math.log(hz / FROM_HZ) / Math.log(TO_HZ / FROM_HZ);
  return (LEFT + share * (WIDTH - LEFT - 6)).toFixed(1);
}

function y(db: number): number {
  const share = (HIGHEST_DB - db) / (HIGHEST_DB - LOWEST_DB);
  return Number((TOP + share * (HEIGHT - TOP - BOTTOM)).toFixed(1));
}
