// While an act is worked on: the button that was pressed shows it at once, those
// that would act meanwhile look as if they could not be pressed, and a press that
// does not count is told of.

import { h } from "./dom.js";

// acting are the buttons that do something to the case.
const acting = [".doing", ".entry", ".items", ".readings", ".doubts", ".mend"]
  .map((part) => part + " button").join(", ");

export class Working {
  #begun = 0; #on = false; #stays = false; #key = "";
  /** @type {HTMLElement | null} */
  #control = null;
  /** @type {HTMLElement | null} */
  #clicked = null;

  /** @param {HTMLElement} root of the page's regions */
  constructor(root) {
    this.root = root;
    this.missed = h("p", { class: "missed quiet", role: "status", hidden: true });
    root.addEventListener("click", (e) => {
      this.#clicked = /** @type {Element} */ (e.target).closest("button");
    }, true);
    root.addEventListener("click", () => { this.#clicked = null; });
  }

  // begin shows that an act is worked on, on the button that was clicked or the one
  // that a key stands for; it gives the act's number.
  /** @param {HTMLElement | null} [control] */
  begin(control) {
    this.#control = this.#clicked || control || null;
    this.#key = this.#control?.dataset.key || "";
    this.#on = true;
    this.missed.hidden = true;
    this.mark();
    return ++this.#begun;
  }

  // end shows that it is over, unless another has begun since.
  /** @param {number} [act] its number; none: whatever is worked on */
  end(act = this.#begun) {
    if (act !== this.#begun || !this.#on) return;
    this.#on = false;
    this.mark();
  }

  // mark says on the buttons what can be pressed; also after some are drawn anew.
  mark() {
    if (this.#control && !this.#control.isConnected && this.#key) {
      this.#control = this.root.querySelector(`[data-key="${CSS.escape(this.#key)}"]`);
    }
    this.root.toggleAttribute("data-working", this.#on);
    for (const b of this.root.querySelectorAll("[aria-busy]")) b.removeAttribute("aria-busy");
    if (this.#on) this.#control?.setAttribute("aria-busy", "true");
    for (const b of this.root.querySelectorAll(acting)) {
      const stopped = this.#on && b !== this.#control || /** @type {HTMLButtonElement} */ (b).disabled;
      if (stopped) b.setAttribute("aria-disabled", "true");
      else b.removeAttribute("aria-disabled");
    }
  }

  // miss tells, where the hand acted, that a press did not count, and why.
  miss(why = "the press before is still being worked on. Press again once it is done.") {
    this.missed.textContent = "Not counted: " + why;
    this.missed.hidden = false;
    this.#stays = this.#on;
  }

  // moved lets what was told go once the case has moved on; what was missed while an
  // act was on its way stays until it moves on again.
  moved() {
    if (!this.#stays) this.missed.hidden = true;
    this.#stays = false;
  }
}
