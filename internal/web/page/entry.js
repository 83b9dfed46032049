// Typing a value, as people type what a meter shows. Digits typed anywhere on
// the page land here.

import { h } from "./dom.js";

export class Entry {
  #step = "";

  /** @param {(text: string) => void} take */
  constructor(take) {
    this.take = take;
    this.label = h("label", { for: "value" });
    this.field = h("input",
      { id: "value", autocomplete: "off", autocapitalize: "off", spellcheck: false, enterKeyHint: "done",
        "data-key": "value", "aria-describedby": "value-hint" });
    this.hint = h("small", { id: "value-hint", class: "quiet" });
    this.element = h("form",
      { class: "entry", hidden: true,
        onsubmit: (/** @type {SubmitEvent} */ e) => { e.preventDefault(); this.send(); } },
      this.label, h("div", { class: "row" }, this.field, h("button", {}, "Take")), this.hint);
  }

  /** @param {ValueEntry | undefined} entry @param {string} step @param {boolean} busy */
  show(entry, step, busy) {
    this.element.hidden = !entry || busy;
    if (!entry) return;
    this.label.textContent = entry.label;
    this.hint.textContent = entry.hint;
    if (step !== this.#step) this.field.value = "";
    this.#step = step;
  }

  // send takes what was typed; false when there is nothing.
  send() {
    const text = this.field.value.trim();
    if (this.element.hidden || !text) return false;
    this.take(text);
    return true;
  }

  /** @param {Asked} a */
  taken(a) {
    if (a.do === "value") this.field.value = "";
  }

  // begin lets a key that goes down elsewhere type into the field.
  begin() {
    if (this.element.hidden) return;
    this.field.focus();
    this.field.setSelectionRange(this.field.value.length, this.field.value.length);
  }
}
