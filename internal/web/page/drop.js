// Gathers the files of what was dropped or chosen: a folder with its paths, a
// zip, or single files.

async function entries(directory) {
  const reader = directory.createReader(), out = [];
  for (;;) {
    const some = await new Promise((resolve, reject) => reader.readEntries(resolve, reject));
    if (some.length === 0) return out;
    out.push(...some);
  }
}

async function gather(entry, into, depth = 0) {
  if (entry.isFile) {
    const file = await new Promise((resolve, reject) => entry.file(resolve, reject));
    into.push({ path: entry.fullPath.replace(/^\//, ""), file });
  } else if (depth < 8 && into.length < 2000) {
    for (const e of await entries(entry)) await gather(e, into, depth + 1);
  }
}

// dropped gives { name, files } of a drop.
export async function dropped(transfer) {
  const roots = [...transfer.items].map((i) => i.webkitGetAsEntry?.()).filter(Boolean);
  const files = [];
  for (const r of roots) await gather(r, files);
  if (files.length === 0) for (const file of transfer.files) files.push({ path: file.name, file });
  return { name: roots[0]?.name || files[0]?.file.name || "board", files };
}

// chosen gives the same of a file field.
export function chosen(list) {
  const files = [...list].map((file) => ({ path: file.webkitRelativePath || file.name, file }));
  return { name: (files[0]?.path || "board").split("/")[0], files };
}
