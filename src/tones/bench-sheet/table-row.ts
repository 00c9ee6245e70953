/** A row of a table of the bench sheet; the texts are its own, so that nothing has to be escaped. */
export function tableRow(cell: 'th' | 'td', texts: readonly string[]): string {
  const open = cell === 'th' ? '<th scope="col">' : '<td>';
  return `<tr>${texts.map((text) => `${open}${text}</${cell}>`).join('')}</tr>`;
}
