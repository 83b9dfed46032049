// Gathers the files of what was dropped or chosen: a folder with its paths, a
// zip, or single files.

/** @param {FileSystemDirectoryEntry} directory @returns {Promise<FileSystemEntry[]>} */
async function entries(directory) {
  const reader = directory.createReader();
  /** @type {FileSystemEntry[]} */
  const out = [];
  for (;;) {
    /** @type {FileSystemEntry[]} */
    const some = await new Promise((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return out;
    out.push(...some);
  }
}

/** @param {FileSystemEntry} e @returns {e is FileSystemFileEntry} */
const isFile = (e) => e.isFile;

/** @param {FileSystemEntry} e @returns {e is FileSystemDirectoryEntry} */
const isFolder = (e) => e.isDirectory;

/** @param {FileSystemEntry} entry @param {FileOfBoard[]} into */
async function gather(entry, into, depth = 0) {
  if (isFile(entry)) {
    /** @type {File} */
    const file = await new Promise((resolve, reject) => entry.file(resolve, reject));
    into.push({ path: entry.fullPath.replace(/^\//, ""), file });
  } else if (isFolder(entry) && depth < 8 && into.length < 2000) {
    for (const e of await entries(entry)) await gather(e, into, depth + 1);
  }
}

// dropped gives { name, files } of a drop.
/** @param {DataTransfer} transfer @returns {Promise<Bundle>} */
export async function dropped(transfer) {
  const roots = [...transfer.items].map((i) => i.webkitGetAsEntry?.()).filter((r) => r !== null &&
    r !== undefined);
  /** @type {FileOfBoard[]} */
  const files = [];
  for (const r of roots) await gather(r, files);
  if (files.length === 0) for (const file of transfer.files) files.push({ path: file.name, file });
  return { name: roots[0]?.name || files[0]?.file.name || "board", files };
}

// chosen gives the same of a file field.
/** @param {FileList} list @returns {Bundle} */
export function chosen(list) {
  const files = [...list].map((file) => ({ path: file.webkitRelativePath || file.name, file }));
  return { name: (files[0]?.path || "board").split("/")[0], files };
}
