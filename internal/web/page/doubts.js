// Doubts about a board's files, each with what settles it: looked at and so, or
// read in another way.

import { h } from "./dom.js";

const said = (d) => h("p", {}, d.file ? h("b", {}, d.line ? `${d.file}:${d.line} ` : `${d.file} `) : "", d.what);
const ways = (list, job, key) => list.map((w, i) => h("button", { "data-key": key + i, onclick: () => job.act(w.act) }, w.words, w.note ? h("small", {}, w.note) : ""));

// roleOf lets a file be read as something else; the list is that of --role.
function roleOf(roles, key, job, file) {
  const role = h("select", { id: key, "data-key": key }, h("option", { value: "" }, "as the file says"), roles.map((r) => h("option", { value: r }, r)));
  return [h("label", { for: key }, "Read it as"), h("div", { class: "row left" }, role,
    h("button", { "data-key": key + "-go", onclick: () => job.act({ do: "role", place: file(), text: role.value }) }, "Read the board anew"))];
}

export function drawDoubts({ doubts, roles, open }, job) {
  if (!doubts.length) return [];
  return h("details", { open }, h("summary", { "data-key": "doubts" }, doubts.length === 1 ? "1 doubt about the files" : `${doubts.length} doubts about the files`),
    h("ul", { class: "doubts" }, doubts.map((d, i) => h("li", {}, said(d),
      h("div", { class: "row left" }, h("button", { "data-key": "settle" + i, onclick: () => job.act({ do: "settle", text: d.key }) }, "Looked at, it is so"), ways(d.ways, job, `way${i}-`)),
      d.as && h("details", {}, h("summary", { "data-key": "other" + i }, `Taken for ${d.as}; it is something else`), roleOf(roles, "role" + i, job, () => d.file))))));
}

// drawSettled lists what was looked at, folded away.
export function drawSettled(doubts, job) {
  if (!doubts.length) return null;
  return h("details", {}, h("summary", { "data-key": "settled" }, doubts.length === 1 ? "1 doubt settled" : `${doubts.length} doubts settled`),
    h("ul", { class: "doubts" }, doubts.map((d, i) => h("li", {}, said(d),
      h("button", { "data-key": "unsettle" + i, onclick: () => job.act({ do: "settle", text: d.key }) }, "Doubt it again")))));
}

// drawMend offers, beside why a board cannot be read, what may be said of it.
export function drawMend(m, job) {
  const file = h("select", { id: "mend-file", "data-key": "mend-file" }, m.files.map((f) => h("option", { value: f, selected: f === m.file }, f)));
  return [ways(m.ways, job, "mend"), m.files.length ? h("div", { class: "mend-file" }, h("label", { for: "mend-file" }, "File"), file,
    roleOf(m.roles, "mend-role", job, () => file.value)) : null];
}
