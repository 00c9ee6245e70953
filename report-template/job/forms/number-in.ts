/** A number where it is one; else as it was typed, so that the fault is shown beside it and nothing is lost. */
export function numberIn(text: string): number | string | undefined {
  const trimmed = text.trim();
  if (trimmed === '') return undefined;
  const value = Number(trimmed.replace(',', '.'));
  return Number.isFinite(value) && !/[.,]$/.test(trimmed) ? value : text;
}
