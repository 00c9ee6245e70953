export type CsvCell = string | number | null;

/**
 * A table as CSV by RFC 4180: a header line, CRLF behind every line, and quotes around a field that holds a comma, a
 * quote or a line break. Numbers are written with a point; null is an empty field.
 *
 * @param rows in groups, each of which becomes one piece of the text
 */
export function* csvPieces({
  header,
  rows,
}: {
  header: readonly string[];
  rows: Iterable<readonly (readonly CsvCell[])[]>;
}): Generator<string> {
  yield line(header);
  for (const group of rows) yield group.map(line).join('');
}

function line(row: readonly CsvCell[]): string {
  return `${row.map(csvField).join(',')}\r\n`;
}

function csvField(cell: CsvCell): string {
  if (cell === null) return '';
  const text = String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
