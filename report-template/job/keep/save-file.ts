/** Gives a file to the person, in the browser's folder for downloads. */
export function saveFile(name: string, content: Blob): void {
  const address = URL.createObjectURL(content);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken hold of it by then (common practice).
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

/** What a browser needs to know of a file to show it. */
export function typed(name: string, blob: Blob): Blob {
  const kinds: Readonly<Record<string, string>> = {
    html: 'text/html;charset=utf-8',
    json: 'application/json',
    csv: 'text/csv;charset=utf-8',
    yaml: 'text/plain;charset=utf-8',
    wav: 'audio/wav',
  };
  return blob.slice(0, blob.size, kinds[name.replace(/^.*\./, '').toLowerCase()] ?? '');
}
