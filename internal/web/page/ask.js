// What may be asked of a board beside its case: what should read between two
// places and what current they bear, how well the program would do here, and
// the figures that it is worked out with.

import { h, onEnter } from "./dom.js";
import { get, post } from "./server.js";

/** @import { Job } from "./job.js" */

// answer asks and shows what comes of it, or why nothing does; after it, what
// else there is.
/**
 * @param {HTMLElement} into @param {string} waiting @param {() => Promise<Reply>} ask
 * @param {HTMLElement} [after]
 */
async function answer(into, waiting, ask, after) {
  into.replaceChildren(h("p", { class: "quiet" }, waiting));
  try {
    const reply = await ask();
    into.replaceChildren(h("dl", { class: "facts" },
      reply.facts.map((f) => h("div", {}, h("dt", {}, f.name), h("dd", {}, f.value)))),
      ...reply.words.map((w) => h("p", { class: "quiet" }, w)), after || "");
  } catch (e) {
    into.replaceChildren(h("p", { class: "trouble" }, h("b", {}, e.message), e.hint || ""));
  }
}

const replyBox = () => h("div", { class: "reply", "aria-live": "polite" });

// Asking stays as it is while the rest of the page is drawn anew.
export class Asking {
  /** @param {Job} job */
  constructor(job) {
    const between = replyBox(), trial = replyBox();
    /**
     * @param {string} id @param {string} label @param {string} hint
     * @returns {[HTMLInputElement, HTMLElement]}
     */
    const place = (id, label, hint) => {
      const field = h("input",
        { id, autocomplete: "off", spellcheck: false, placeholder: hint, onkeydown: onEnter(() => read()) });
      return [field, h("div", { class: "mend-file" }, h("label", { for: id }, label), field)];
    };
    const read = () => {
      const way = `/api/cases/${job.id}/between`,
        ends = `?from=${encodeURIComponent(from.value.trim())}&to=${encodeURIComponent(to.value.trim())}`;
      answer(between, "Solving the copper …", () => get(way + ends),
        h("p", {}, h("a", { href: `${way}/picture${ends}`, download: "" }, "Keep a picture of the current")));
    };
    const [from, fromRow] = place("between-from", "From", "C7.1 or L1@12.30,45.60");
    const [to, toRow] = place("between-to", "To", "J1.1");
    this.trial = h("div", { class: "mend-file" },
      h("button", { onclick: () =>
        answer(trial, "Hiding 40 shorts and finding each; that may take a minute …",
          () => post(`/api/cases/${job.id}/trial`, { faults: 40 })) },
      "How well would it do here?", h("small", {}, "40 invented shorts between these two nets")), trial);
    this.element = h("section", { class: "asking", hidden: true },
      h("details", {}, h("summary", {}, "Ask the board"),
        h("p", { class: "quiet" },
          "What two places on one net should read, and what current they bear; " +
          "of the two nets of this case, by way of the likeliest place."),
        fromRow, toRow, h("button", { onclick: read }, "What should it read?"), between, this.trial));
  }

  /** @param {View} v */
  show(v) {
    this.element.hidden = !v.board;
    this.trial.hidden = v.nets.length === 0;
  }
}

// drawFigures lists what the case is worked out with; each can be said
// otherwise.
/** @param {Figure[]} figures @param {Job} job */
export function drawFigures(figures, job) {
  if (!figures.length) return null;
  /** @param {Figure} f @param {number} i */
  const row = (f, i) => {
    const id = "figure" + i;
    const field = h("input",
      { id, "data-key": id, value: f.said || "", placeholder: f.hint, autocomplete: "off", spellcheck: false,
        onkeydown: onEnter(() => set()) });
    const set = () => job.act({ do: "assume", place: f.key, text: field.value.trim() });
    return h("div", { class: "mend-file" }, h("label", { for: id }, `${f.name}: `, h("b", {}, f.value)),
      h("div", { class: "row left" }, field,
        h("button", { "data-key": id + "-go", onclick: set }, f.said && "Change" || "Say otherwise")));
  };
  const part = h("input",
    { id: "metal-part", "data-key": "metal-part", autocomplete: "off", spellcheck: false,
      placeholder: "J3" });
  const net = h("input",
    { id: "metal-net", "data-key": "metal-net", autocomplete: "off", spellcheck: false, placeholder: "GND" });
  return h("details", { "data-hold": "figures" },
    h("summary", { "data-key": "figures" }, "What it is worked out with"),
    h("p", { class: "quiet" },
      "Empty: as the files and the usual figures have it. A change works all out anew."),
    figures.map(row),
    h("div", { class: "mend-file" },
      h("label", { for: "metal-part" }, "A metal body that the files do not show: part"), part,
      h("label", { for: "metal-net" }, "soldered to net"), net,
      h("button", { "data-key": "metal-go",
        onclick: () => job.act({ do: "assume", place: "metal " + part.value.trim(),
          text: net.value.trim() }) }, "Mark the metal")));
}
