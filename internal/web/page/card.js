// The card: the one thing to do now, in words large enough to read over an
// arm's length.

import { h } from "./dom.js";

/** @import { Job } from "./job.js" */

// drawPath shows the stages of the whole job.
/** @param {Milestone[]} path */
export function drawPath(path) {
  /** @type {Record<string, string>} */
  const words = { done: "done", now: "now", ahead: "to come" };
  return h("ol", { "aria-label": "Stages of the job" }, path.map((m) =>
    h("li", { class: m.state, "aria-current": m.state === "now" ? "step" : undefined }, m.name,
      h("span", { class: "unseen" }, ", " + words[m.state]))));
}

/** @typedef {Pick<View, "card" | "target" | "title" | "step" | "busy">} CardView */

/** @param {CardView} v @param {Job} job */
export function drawCard({ card, target, title, busy }, job) {
  return [
    h("p", { class: "unit quiet" }, h("a", { href: "#" }, "Bench"), " / ", title),
    h("h1", { class: card.tone }, card.head),
    busy ? h("div", { class: "working", "aria-hidden": "true" }) : null,
    busy && card.kind !== "wait"
      ? h("p", { class: "quiet stage" }, `As it stood; being made ready: ${busy} …`) : null,
    target && drawTarget(target),
    card.text.filter(Boolean).map((t) => h("p", { class: "say" }, t)),
    card.facts && h("dl", { class: "facts" },
      card.facts.map((f) => h("div", {}, h("dt", {}, f.name), h("dd", {}, f.value)))),
    card.items && drawItems(card.items, job),
    target && (target.others.length > 0 || target.cannot) && drawOthers(target, job),
  ];
}

// drawTarget says where each tip goes: a filled disc for red, a ring for black.
/** @param {Target} t */
function drawTarget(t) {
  /** @param {string} lead @param {string} what @param {Place} place */
  const line = (lead, what, place) =>
    h("li", { class: lead }, h("span", { class: "tip", "aria-hidden": "true" }),
    h("span", {}, h("small", {}, what), h("b", {}, place.words)));
  return [t.turn && h("p", { class: "turn" }, t.turn), h("ul", { class: "target" },
    t.clip_red && line("clip red", `first a clip, red, ${t.clip_red.net}, current in`, t.clip_red),
    t.clip_black && line("clip black", `first a clip, black, ${t.clip_black.net}, current out`, t.clip_black),
    line("red", t.kind === "four-wire" ? `volts, red, ${t.red.net}, on` : `Red, ${t.red.net}, on`, t.red),
      line("black", t.kind === "four-wire" ? `volts, black, ${t.black.net}, on`
        : `Black, ${t.black.net}, on`, t.black))];
}

/** @param {Item[]} items @param {Job} job */
function drawItems(items, job) {
  return h("ul", { class: "items" }, items.map(({ act, ...i }, n) => act
    ? h("li", {}, h("button",
      { role: "checkbox", "aria-checked": String(i.done), "data-key": "item" + n,
        onclick: () => job.act(act) }, h("span", { class: "tick", "aria-hidden": "true" }), i.words))
    : h("li", { class: "line" }, i.words)));
}

// drawOthers asks which end cannot be reached, and lists readings that leave it out,
// with what each tells and takes; before that is said, the other advised ones.
/** @param {Target} t @param {Job} job */
function drawOthers(t, job) {
  /** @param {string} end @param {string} words */
  const which = (end, words) => h("button", { "data-key": "cannot-" + end, "aria-pressed":
    String(t.cannot === end), onclick: () => job.act({ do: "cannot", text: end }) }, words);
  const none = t.cannot && t.others.length === 0 ? "No other place that can be touched would tell." : "";
  return h("details", { class: "others", "data-hold": "others" },
    h("summary", { "data-key": "others" }, "Cannot reach these?"),
    h("p", { class: "quiet" }, "Which one cannot be reached?"),
    h("div", { class: "row left" }, which("red", "Red's"), which("black", "Black's"), which("both", "Both")),
    h("ul", {}, t.others.map((o, n) =>
      h("li", {}, h("button", { "data-key": "other" + n, onclick: () => job.act({ do: "aim", n }) },
        `${o.from} – ${o.to}`, h("small", {}, o.cost))))),
    h("p", { class: "quiet" }, none + " Or tap a place on either net on the board."));
}
