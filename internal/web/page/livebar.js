// The live bar: what the meter says at this moment, on a scale that grows with
// its logarithm, from a milliohm to open.

import { h } from "./dom.js";

export class LiveBar {
  constructor() {
    this.value = h("output", { class: "value" }, "–");
    this.fill = h("span", { class: "fill" });
    this.element = h("div", { class: "live", hidden: true, role: "group", "aria-label": "Meter" },
      this.value, h("div", { class: "track", "aria-hidden": "true" }, this.fill,
        h("span", { class: "mark" })),
        h("div", { class: "ends quiet", "aria-hidden": "true" }, h("span", {}, "short"),
          h("span", {}, "open")));
  }

  /** @param {Live} l @param {View | null} view */
  show(l, view) {
    this.element.hidden = !l.on || !view?.card.bar;
    if (!l.on) return;
    this.value.textContent = l.text;
    this.fill.style.width = `${100 * l.share}%`;
    this.element.classList.toggle("open", l.open);
  }
}
