// What stands beside the picture at every step: the answer so far, in two lines
// with its close-up, and which net has which colour.

import { h } from "./dom.js";

/** @typedef {{ words: string, chance: string, care: string } | null} Told */

// told is the answer in short; null before there is one.
/** @param {View} v @returns {Told} */
export function told({ where: w }) {
  if (!w || w.verdict === "no reading yet" || !w.best && w.one_short) return null;
  return { words: w.best ? w.words : "", care: w.one_short ? "" : w.verdict,
    chance: w.best ? w.chance || "" : "" };
}

/** @param {Told} t */
export function drawTold(t) {
  if (!t) return [];
  return [
    t.words && h("canvas",
      { id: "told-close", role: "img", "aria-label": "Close-up of the likeliest place" }),
    h("p", {}, t.words ? h("b", {}, t.words) : "", t.chance ? h("span", {}, t.chance) : "",
      t.care ? h("span", { class: "care" }, `take care: ${t.care}`) : ""),
  ];
}

/** @param {{ nets: string[], red: number }} v */
export function drawLegend({ nets, red }) {
  /** @param {Lead} lead @param {string} net */
  const line = (lead, net) => net && h("span", {}, h("i", { class: lead, "aria-hidden": "true" }), net,
    h("small", {}, ` ${lead}`));
  return [line("red", nets[red]), line("black", nets[1 - red])];
}
