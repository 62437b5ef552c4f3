/** The files in what was dropped, folders opened to the last level. */
export async function droppedFiles(data: DataTransfer): Promise<File[]> {
  // The list empties itself once the event is over: entries are taken out before anything is awaited.
  const entries = Array.from(data.items, (item) => item.webkitGetAsEntry());
  if (entries.every((entry) => entry === null)) return [...data.files];
  const out: File[] = [];
  for (const entry of entries) if (entry) await collect(entry, out);
  return out.sort((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
}

async function collect(entry: FileSystemEntry, out: File[]): Promise<void> {
  if (entry.isFile) {
    // An entry that says it is a file is one; the DOM types do not tell the two apart.
    const file = await new Promise<File>((resolve, reject) => (entry as FileSystemFileEntry).file(resolve, reject));
    if (!hiddenFile(file.name)) out.push(file);
    return;
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return;
    for (const inner of some) await collect(inner, out);
  }
}

/** Files that systems leave in folders by themselves. */
export const hiddenFile = (name: string): boolean => name.startsWith('.') || /^(thumbs\.db|desktop\.ini)$/i.test(name);
