// The live bar: what the meter says at this moment, on a scale that grows with
// its logarithm, from a milliohm to open.

import { h } from "./dom.js";

export class LiveBar {
  constructor() {
    this.value = h("output", { class: "value" }, "–");
    this.fill = h("span", { class: "fill" });
    this.note = h("p", { class: "quiet", hidden: true }, "Heat on the board: no reading");
    this.element = h("div", { class: "live", hidden: true, role: "group", "aria-label": "Meter" },
      this.value, this.note, h("div", { class: "track", "aria-hidden": "true" }, this.fill,
        h("span", { class: "mark" })),
        h("div", { class: "ends quiet", "aria-hidden": "true" }, h("span", {}, "short"),
          h("span", {}, "open")));
    this.print = h("p", { class: "print quiet", hidden: true });
  }

  // says shows in small print which meter on a wire reads, and how.
  /** @param {View["meter"]} meter */
  says(meter) {
    this.print.hidden = meter.kind !== "wire";
    if (!this.print.hidden) this.print.textContent = meter.words;
  }

  /** @param {Live} l @param {View | null} view */
  show(l, view) {
    this.element.hidden = !l.on || !view?.card.bar;
    if (!l.on) return;
    this.value.textContent = l.text;
    // With an iron on the board the value means nothing; that the bar opens still tells.
    this.element.classList.toggle("hot", l.hot);
    this.note.hidden = !l.hot;
    this.fill.style.width = `${100 * l.share}%`;
    this.element.classList.toggle("open", l.open);
  }
}
