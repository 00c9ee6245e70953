/** The pad as a line drawing: half of the series resistance in each wire, the shunt across the recorder's input. */
export function padDrawing(): string {
  const top = 18;
  const bottom = 72;
  const shuntX = 250;
  return (
    '<svg class="pad" viewBox="0 0 420 92" role="img" aria-label="Pad: a series resistor in each wire of the tap, a shunt resistor across the recorder input">' +
    `<g fill="none" stroke="#000" stroke-width="1">` +
    line(70, top, 120, top) +
    resistor(120, top, 60, 0) +
    line(180, top, 330, top) +
    line(70, bottom, 120, bottom) +
    resistor(120, bottom, 60, 0) +
    line(180, bottom, 330, bottom) +
    line(shuntX, top, shuntX, 30) +
    resistor(shuntX, 30, 0, 30) +
    line(shuntX, 60, shuntX, bottom) +
    `</g><g font-size="11">` +
    text(8, top + 4, 'tap +') +
    text(8, bottom + 4, 'tap −') +
    text(128, top + 18, 'series') +
    text(128, bottom - 11, 'series') +
    text(shuntX + 12, 49, 'shunt') +
    text(336, top + 4, 'recorder +') +
    text(336, bottom + 4, 'recorder −') +
    text(8, 49, 'no ground here') +
    '</g></svg>'
  );
}

function line(x1: number, y1: number, x2: number, y2: number): string {
  return `<path d="M${x1} ${y1}L${x2} ${y2}"/>`;
}

/** A box along a wire: `dx` long and horizontal, or `dy` long and vertical. */
function resistor(x: number, y: number, dx: number, dy: number): string {
  const half = 6;
  return dx > 0
    ? `<rect x="${x}" y="${y - half}" width="${dx}" height="${2 * half}"/>`
    : `<rect x="${x - half}" y="${y}" width="${2 * half}" height="${dy}"/>`;
}

function text(x: number, y: number, words: string): string {
  return `<text x="${x}" y="${y}">${words}</text>`;
}
