/** A sentence with a full stop, unless it ends in one already, or asks something. */
export function ended(text: string): string {
  return /[.?]$/.test(text) ? text : `${text}.`;
}
