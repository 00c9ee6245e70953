/** What was dropped or chosen, by name: files of a folder with the folders inside it, without its own name. */
export type Given = Map<string, File>;

/** The files that were dropped, folders gone through. */
export async function droppedFiles(transfer: DataTransfer): Promise<Given> {
  // Before anything is waited for: the list is emptied when the event is over.
  const entries = [...transfer.items].map((item) => item.webkitGetAsEntry());
  const found: Given = new Map();
  for (const entry of entries) {
    if (entry === null) continue;
    if (entry.isFile) found.set(entry.name, await fileOf(entry as FileSystemFileEntry));
    else await goThrough(entry as FileSystemDirectoryEntry, '', found);
  }
  return found;
}

/** The files that were chosen, with their places inside a chosen folder. */
export function chosenFiles(list: FileList): Given {
  return new Map(
    [...list].map((file) => [file.webkitRelativePath.replace(/^[^/]*\//, '') || file.name, file]),
  );
}

async function goThrough(folder: FileSystemDirectoryEntry, start: string, found: Given): Promise<void> {
  const reader = folder.createReader();
  const more = () =>
    new Promise<FileSystemEntry[]>((done, fail) => {
      reader.readEntries(done, fail);
    });
  // A hundred at a time, until none are left.
  for (let entries = await more(); entries.length > 0; entries = await more()) {
    for (const entry of entries) {
      const name = `${start}${entry.name}`;
      if (entry.isFile) found.set(name, await fileOf(entry as FileSystemFileEntry));
      else await goThrough(entry as FileSystemDirectoryEntry, `${name}/`, found);
    }
  }
}

function fileOf(entry: FileSystemFileEntry): Promise<File> {
  return new Promise((done, fail) => {
    entry.file(done, fail);
  });
}
