export type CsvCell = string | number | null;

/**
 * A table as CSV by RFC 4180: a header line, CRLF behind every line, and quotes around a field that holds a comma, a
 * quote or a line break. Numbers are written with a point; null is an empty field.
 */
export function csvText({
  header,
  rows,
}: {
  header: readonly string[];
  rows: readonly (readonly CsvCell[])[];
}): string {
  return [header, ...rows].map((row) => `${row.map(csvField).join(',')}\r\n`).join('');
}

function csvField(cell: CsvCell): string {
  if (cell === null) return '';
  const text = String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
