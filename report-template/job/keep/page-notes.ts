/** In a job that is saved as one file: what the page noted beside its files, such as ticks and meter readings. */
export const PAGE_NOTES_FILE = 'steptone-page.json';

export function notesText(notes: ReadonlyMap<string, unknown>): string {
  return `${JSON.stringify({ pageNotes: Object.fromEntries(notes) })}\n`;
}

/** @returns nothing where the text is something else */
export function notesIn(text: string): [name: string, value: unknown][] {
  try {
    const { pageNotes } = JSON.parse(text) as { pageNotes?: unknown };
    return typeof pageNotes === 'object' && pageNotes !== null ? Object.entries(pageNotes) : [];
  } catch {
    return [];
  }
}
