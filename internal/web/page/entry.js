// Typing a value, as people type what a meter shows. What a value begins with or
// holds, typed or pasted anywhere on the page, lands here.

import { h } from "./dom.js";

// ofValue is a key that a value can begin with: a sign, a digit, a decimal sign,
// or the O of an overload.
const ofValue = /^[-+\u2212.,0-9oO\u221e]$/;

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
      this.label, h("div", { class: "row" }, this.field, h("button", { "data-key": "take" }, "Take")),
      this.hint);
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

  // refused leaves what was typed in the field, selected: what is typed next
  // replaces it.
  /** @param {Asked} a */
  refused(a) {
    if (a.do !== "value" || this.element.hidden) return;
    this.field.focus();
    this.field.select();
  }

  // begin lets a key that goes down elsewhere type into the field, and tells
  // whether it does: a value is asked for, and the key is of one.
  /** @param {string} key */
  begin(key) {
    if (this.element.hidden || !ofValue.test(key)) return false;
    this.field.focus();
    this.field.setSelectionRange(this.field.value.length, this.field.value.length);
    return true;
  }

  // paste takes what is pasted elsewhere for the value, where one is asked for.
  /** @param {string} text */
  paste(text) {
    if (this.element.hidden || !text) return false;
    this.field.value = text;
    this.field.focus();
    return true;
  }
}
