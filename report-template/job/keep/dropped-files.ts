/** What was dropped or chosen, by name: files of a folder with the folders inside it, without its own name. */
type Given = Map<string, File>;

type DroppedItem = DataTransferItem & {
  /** Not everywhere. */
  getAsFileSystemHandle?: () => Promise<FileSystemHandle | null>;
};

/** The files that were dropped, folders gone through. */
export async function droppedFiles(transfer: DataTransfer): Promise<Given> {
  // Before anything is waited for: the list is emptied when the event is over.
  const dropped = ([...transfer.items] as DroppedItem[]).map((item) => {
    const entry = item.webkitGetAsEntry();
    // Chromium lets a page on the disk look into a folder by its handle only; its entries cannot be read there.
    if (entry?.isDirectory === true) return { folder: entry, handle: item.getAsFileSystemHandle?.() };
    return item.getAsFile();
  });
  const found: Given = new Map();
  for (const one of dropped) {
    if (one === null) continue;
    if (one instanceof File) found.set(one.name, one);
    else if (one.handle === undefined) await goThrough(one.folder as FileSystemDirectoryEntry, '', found);
    else await lookThrough((await one.handle) as FileSystemDirectoryHandle, '', found);
  }
  return found;
}

/** The files that were chosen, with their places inside a chosen folder. */
export function chosenFiles(list: FileList): Given {
  return new Map(
    [...list].map((file) => [file.webkitRelativePath.replace(/^[^/]*\//, '') || file.name, file]),
  );
}

async function lookThrough(folder: FileSystemDirectoryHandle, start: string, found: Given): Promise<void> {
  for await (const [inner, handle] of folder.entries()) {
    const name = `${start}${inner}`;
    if (handle.kind === 'file') found.set(name, await (handle as FileSystemFileHandle).getFile());
    else await lookThrough(handle as FileSystemDirectoryHandle, `${name}/`, found);
  }
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
