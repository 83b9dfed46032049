// The readings so far: each measured against what the best place predicts.

import { h } from "./dom.js";

export function drawHistory({ readings, findings }, job) {
  if (readings.length + findings.length === 0) return [];
  return [
    h("h2", {}, "So far"),
    readings.length ? h("ol", { class: "readings" }, readings.map((r) => h("li", { class: [r.doubtful && "doubtful", r.worst && "worst"].filter(Boolean).join(" ") }, drawReading(r, job)))) : null,
    findings.length ? h("ul", { class: "findings" }, findings.map((f) => h("li", {}, f))) : null,
  ];
}

function drawReading(r, job) {
  const bar = h("span", { class: "pair", "aria-hidden": "true" }, h("i", { class: "measured" }), r.predicted ? h("i", { class: "predicted" }) : "");
  bar.firstChild.style.width = `${100 * r.share}%`;
  if (r.predicted) bar.lastChild.style.left = `${100 * r.predicted_share}%`;
  const field = h("input", { value: r.value.replace(/\s|Ω/g, ""), autocomplete: "off", "aria-label": `New value of reading ${r.n + 1}`, onkeydown: (e) => { if (e.key === "Enter") job.act({ do: "edit", n: r.n, text: field.value }); } });
  return h("details", { "data-hold": "reading" + r.n },
    h("summary", { "data-key": "reading" + r.n }, h("b", {}, r.value), h("span", { class: "quiet" }, r.places),
      h("span", { class: "quiet predicted" }, [r.predicted && `best place ${r.predicted}`, r.doubtful && "doubtful", r.worst && "fits worst"].filter(Boolean).join(", ")), bar),
    h("div", { class: "row edit" }, field,
      h("button", { onclick: () => job.act({ do: "edit", n: r.n, text: field.value }) }, "Change"),
      h("button", { onclick: () => job.act({ do: "doubt", n: r.n }) }, r.doubtful ? "Not doubtful" : "Doubtful"),
      h("button", { onclick: () => job.act({ do: "drop", n: r.n }) }, "Take out")));
}
