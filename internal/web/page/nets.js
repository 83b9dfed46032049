// Which nets: a search by net or pin, and the pairs that the design is most
// prone to, for who does not know which two touch.

import { h } from "./dom.js";
import { get } from "./server.js";

/** @import { Job } from "./job.js" */

export class NetSearch {
  #asked = 0; #found = ""; #entered = false;

  /** @param {Job} job */
  constructor(job) {
    this.job = job;
    this.list = h("ul", { class: "found", "aria-label": "Nets and pins found" });
    this.field = h("input",
      { id: "net", autocomplete: "off", spellcheck: false, "data-key": "net", oninput: () => this.#find(),
        onkeydown: (/** @type {KeyboardEvent} */ e) => this.#key(e) });
    this.pairsList = h("div");
    this.pairs = h("details", { class: "pairs", ontoggle: () => this.pairs.open && this.#pairs() },
      h("summary", {}, "I do not know which nets"), this.pairsList);
    this.element = h("div", { class: "search", hidden: true }, h("label", { for: "net" }, "Net or pin"),
      this.field, this.list);
  }

  /** @param {View} v */
  show(v) {
    this.element.hidden = this.pairs.hidden = !v.card.search || !v.board;
    if (this.element.hidden) this.list.replaceChildren();
  }

  /** @param {KeyboardEvent} e */
  #key(e) {
    if (e.key !== "Enter") return;
    e.preventDefault();
    const text = this.field.value.trim();
    if (text === "") this.job.main();
    else if (this.#found === text) this.list.querySelector("button")?.click();
    else this.#entered = true; // the answer to what was typed is on its way
  }

  async #find() {
    const asked = ++this.#asked, text = this.field.value.trim();
    if (!text) return this.list.replaceChildren();
    try {
      /** @type {Found[]} */
      const found = await get(`/api/cases/${this.job.id}/find?q=${encodeURIComponent(text)}`);
      if (asked !== this.#asked) return;
      this.#found = text;
      this.list.replaceChildren(...(found.length
        ? found.map((f) => h("li", {}, h("button", { onclick: () => this.#pick(f.net) },
        f.pin ? `${f.pin} on ${f.net}` : f.net, h("small", {}, `${f.pads} pads`))))
          : [h("li", { class: "quiet" }, "No net or pin is called so.")]));
      if (this.#entered) this.list.querySelector("button")?.click();
      this.#entered = false;
    } catch (e) {
      this.list.replaceChildren(h("li", { class: "quiet" }, e.message));
    }
  }

  /** @param {string} net */
  #pick(net) {
    this.#asked++;
    this.#found = "";
    this.field.value = "";
    this.list.replaceChildren();
    this.field.focus();
    this.job.act({ do: "pick", text: net });
  }

  async #pairs() {
    const into = this.pairsList;
    into.replaceChildren(h("p", { class: "quiet" }, "Looking over the whole board …"));
    try {
      /** @type {PronePair[]} */
      const pairs = await get(`/api/cases/${this.job.id}/pairs`);
      into.replaceChildren(
        h("p", {}, "Check these with the meter, the riskiest first, and take the pair that is short: " +
          "under about 1 Ω. What a good unit reads stands below, where it is known."),
        h("ol", {}, pairs.map((p) =>
          h("li", {}, h("button", { onclick: () => this.job.act({ do: "nets", nets: p.nets }) },
          h("b", {}, p.nets.join(" and ")),
            h("small", {}, p.touch[0] &&
              p.touch[1] ? `touch ${p.touch[0]} – ${p.touch[1]}` : "one of them has no place to touch"),
          p.good && h("small", { class: "good" }, p.good), h("small", {}, `could touch ${p.where}`))))));
    } catch (e) {
      into.replaceChildren(h("p", { class: "quiet" }, e.message));
    }
  }
}
