// The readings so far: each measured against what the best place predicts.

import { h, onEnter } from "./dom.js";

/** @import { Job } from "./job.js" */

/** @param {Pick<View, "readings" | "findings">} v @param {Job} job */
export function drawHistory({ readings, findings }, job) {
  if (readings.length + findings.length === 0) return [];
  return [
    h("h2", {}, "So far"),
    readings.length ? h("ol", { class: "readings" },
      readings.map((r) => h("li",
        { class: [r.doubtful && "doubtful", r.worst && "worst"].filter(Boolean).join(" ") },
        drawReading(r, job)))) : null,
    findings.length ? h("ul", { class: "findings" }, findings.map((f) => h("li", {}, f))) : null,
  ];
}

/** @param {ReadingView} r @param {Job} job */
function drawReading(r, job) {
  const measured = h("i", { class: "measured" }), predicted = h("i", { class: "predicted" });
  measured.style.width = `${100 * r.share}%`;
  predicted.style.left = `${100 * r.predicted_share}%`;
  const bar = h("span", { class: "pair", "aria-hidden": "true" }, measured, r.predicted ? predicted : "");
  const field = h("input",
    { value: r.value.replace(/\s|Ω/g, ""), autocomplete: "off",
      "aria-label": `New value of reading ${r.n + 1}`, onkeydown: onEnter(() => change()) });
  const change = () => job.act({ do: "edit", n: r.n, text: field.value });
  return h("details", { "data-hold": "reading" + r.n },
    h("summary", { "data-key": "reading" + r.n }, h("b", {}, r.value),
      h("span", { class: "quiet" }, r.places),
      h("span", { class: "quiet predicted" },
        [r.predicted && `expected ${r.predicted}`, r.doubtful && "doubtful", r.worst &&
          "fits worst"].filter(Boolean).join(", ")), bar),
    h("div", { class: "row edit" }, field,
      h("button", { onclick: () => change() }, "Change"),
      h("button", { onclick: () => job.act({ do: "doubt", n: r.n }) },
        r.doubtful ? "Not doubtful" : "Doubtful"),
      h("button", { onclick: () => job.act({ do: "drop", n: r.n }) }, "Take out")));
}
