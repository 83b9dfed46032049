// Where the short is: one sentence, a close-up, and who else is on the list.

import { h } from "./dom.js";

/** @import { BoardPane } from "./boardpane.js" */
/** @import { Job } from "./job.js" */
/** @typedef {Pick<Answer, "places" | "reach"> & { before: true }} Before */

const close = h("canvas", { id: "close", role: "img", "aria-label": "Close-up of the likeliest place" });
let drawn = "";

/** @param {Answer | Before | null} w @param {Job} job */
export function drawWhere(w, job) {
  if (!w || w.places.length === 0) return [];
  if ("before" in w) return [h("h2", {}, "Before the first reading"),
    h("p", { class: "quiet" }, "Where the two nets come near each other, the likeliest first."),
    drawPlaces(w, job)];
  const b = w.best;
  return [
    h("h2", { class: w.one_short ? "" : "care" }, w.one_short ? "Where it is" : `Take care: ${w.verdict}`),
    b && h("p", { class: "answer" }, [w.words, w.radius].filter(Boolean).join(", ")),
    b && h("p", { class: "quiet" }, `${w.chance}; ${w.hides}`),
    w.touch_again && h("p", { class: "trouble" }, w.touch_again),
    w.changed && h("p", { class: "quiet" }, w.changed),
    b && h("figure", {}, close,
      h("figcaption", {}, w.gap ? h("b", {}, w.gap) : "",
        w.short ? h("span", {}, `short of ${w.short}`) : "")),
    drawPlaces(w, job),
    h("p", {}, h("a", { "data-key": "keep-picture", href: `/api/cases/${job.id}/picture`, download: "" },
      "Keep as a picture")),
    h("dl", { class: "facts wide" },
      w.note && h("div", {}, h("dt", {}, "Fit"), h("dd", {}, w.note)),
      w.worth && h("div", {}, h("dt", {}, "Another reading"), h("dd", {}, w.worth)),
      w.reach && h("div", {}, h("dt", {}, "This meter, here"), h("dd", {}, w.reach))),
  ];
}

/** @param {{ places: PlaceView[] }} w @param {Job} job */
function drawPlaces(w, job) {
  const most = Math.max(...w.places.map((p) => p.p), 1e-9);
  return h("ol", { class: "places" }, w.places.map((p, n) => {
    const share = h("span", { class: "share", "aria-hidden": "true" });
    share.style.width = `${Math.max(1, (100 * p.p) / most)}%`;
    return h("li", {}, h("button", { "data-key": "place" + n, onclick: () => job.board.lookAt(p) }, share,
      h("span", {}, p.words), h("b", {}, p.chance)));
  }));
}

// closeUp paints the best place, once for each place.
/** @param {BoardPane} board @param {BestSite} best */
export async function closeUp(board, best) {
  const key = JSON.stringify([best.x_mm, best.y_mm, best.layer, board.painted]);
  if (key === drawn || !close.isConnected || close.clientWidth === 0 || !board.ready) return;
  drawn = key;
  await board.still(close, best);
}

addEventListener("resize", () => { drawn = ""; });
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { drawn = ""; });
