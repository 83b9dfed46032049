// Doubts about a board's files, each with what settles it: looked at and so, or
// read in another way.

import { h, onEnter } from "./dom.js";

/** @import { Job } from "./job.js" */

/** @param {DoubtView} d */
const statement = (d) =>
  h("p", {}, d.file ? h("b", {}, d.line ? `${d.file}:${d.line} ` : `${d.file} `) : "", d.says,
    d.advice && h("small", { class: "advice" }, d.advice));
/** @param {Choice[]} list @param {Job} job @param {string} key */
const ways = (list, job, key) =>
  list.map((w, i) => h("button", { "data-key": key + i, onclick: () => job.act(w.act) }, w.words,
    w.note ? h("small", {}, w.note) : ""));

// roleOf lets a file be read as something else: anything that --role takes.
/** @param {string[]} roles @param {string} key @param {Job} job @param {() => string} file */
function roleOf(roles, key, job, file) {
  const role = h("input",
    { id: key, "data-key": key, autocomplete: "off", spellcheck: false, "aria-describedby": key + "-hint",
      onkeydown: onEnter(() => go()) });
  role.setAttribute("list", key + "-list");
  const go = () => job.act({ do: "role", place: file(), text: role.value.trim() });
  return [h("label", { for: key }, "Read it as"),
    h("div", { class: "row left" }, role,
      h("button", { "data-key": key + "-go", onclick: go }, "Read the board anew")),
    h("datalist", { id: key + "-list" }, roles.map((r) => h("option", { value: r }))),
    h("small", { id: key + "-hint", class: "quiet" },
      "copper L3, mask top, drill plated 1-2, netlist, ignore …; empty: as the file says")];
}

// copyOf lets the copy of a panel be chosen.
/** @param {{ copies: CopyView[], copy: string }} panel @param {string} key @param {Job} job */
function copyOf({ copies, copy }, key, job) {
  const which = h("select", { id: key, "data-key": key },
    h("option", { value: "all", selected: copy === "all" || copy === "" }, `all ${copies.length} copies`),
    copies.map((c) => h("option", { value: String(c.n), selected: copy === String(c.n) }, c.words)));
  return h("div", { class: "mend-file" }, h("label", { for: key }, "Read"),
    h("div", { class: "row left" }, which,
    h("button", { "data-key": key + "-go", onclick: () => job.act({ do: "copy", text: which.value }) },
      "Read the board anew")));
}

/**
 * @param {{ doubts: DoubtView[], roles: string[], copies: CopyView[], open: boolean }} v
 * @param {Job} job
 */
export function drawDoubts({ doubts, roles, copies, open }, job) {
  if (!doubts.length) return [];
  return h("details", { open },
    h("summary", { "data-key": "doubts" },
      doubts.length === 1 ? "1 doubt about the files" : `${doubts.length} doubts about the files`),
    h("ul", { class: "doubts" },
      doubts.map((d, i) => h("li", {}, statement(d),
        d.code === "panel" ? copyOf({ copies, copy: "" }, "copy" + i, job) : null,
      h("div", { class: "row left" },
        h("button", { "data-key": "settle" + i, onclick: () => job.act({ do: "settle", text: d.key }) },
          "Looked at, it is so"), ways(d.ways, job, `way${i}-`)),
      d.as && h("details", {},
        h("summary", { "data-key": "other" + i }, `Taken for ${d.as}; it is something else`),
        roleOf(roles, "role" + i, job, () => d.file || ""))))));
}

// drawSettled lists what was looked at, folded away.
/** @param {DoubtView[]} doubts @param {Job} job */
export function drawSettled(doubts, job) {
  if (!doubts.length) return null;
  return h("details", { "data-hold": "settled" },
    h("summary", { "data-key": "settled" },
      doubts.length === 1 ? "1 doubt settled" : `${doubts.length} doubts settled`),
    h("ul", { class: "doubts" }, doubts.map((d, i) => h("li", {}, statement(d),
      h("button", { "data-key": "unsettle" + i, onclick: () => job.act({ do: "settle", text: d.key }) },
        "Doubt it again")))));
}

// drawFiles lists what each file was taken for, and lets that be changed.
/** @param {BoardSummary} board @param {Job} job */
export function drawFiles(board, job) {
  const file = fileOf(board.files.map((f) => f.path), "", "file");
  return h("details", { "data-hold": "files" },
    h("summary", { "data-key": "files" }, `The files, ${board.files.length}`),
    h("dl", { class: "files" },
      board.files.map((f) =>
        h("div", {}, h("dt", {}, f.path),
          h("dd", {}, f.role, f.why ? h("span", { class: "quiet" }, `, ${f.why}`) : "")))),
    h("div", { class: "mend-file" }, file.row, roleOf(board.roles, "file-role", job, file.name)),
    board.copies.length ? copyOf(board, "copy", job) : null);
}

/** @param {string[]} files @param {string} chosen @param {string} key */
function fileOf(files, chosen, key) {
  const select = h("select", { id: key, "data-key": key },
    files.map((f) => h("option", { value: f, selected: f === chosen }, f)));
  return { row: h("div", { class: "mend-file" }, h("label", { for: key }, "File"), select),
    name: () => select.value };
}

// drawMend offers, beside why a board cannot be read, what may be said of it.
/** @param {MendView} m @param {Job} job */
export function drawMend(m, job) {
  if (!m.files.length) return ways(m.ways, job, "mend");
  const file = fileOf(m.files, m.file, "mend-file");
  return [ways(m.ways, job, "mend"),
    h("div", { class: "mend-file" }, file.row, roleOf(m.roles, "mend-role", job, file.name))];
}
