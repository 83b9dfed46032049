// The first page: bring a board, go on with one, or practise.

import { h } from "./dom.js";
import { get, post, bring } from "./server.js";
import { dropped, chosen } from "./drop.js";

/** @param {string} text */
const ago = (text) => {
  const s = (Date.now() - new Date(text).getTime()) / 1000;
  if (s < 90) return "just now";
  if (s < 5400) return `${Math.round(s / 60)} minutes ago`;
  if (s < 129600) return `${Math.round(s / 3600)} hours ago`;
  return `${Math.round(s / 86400)} days ago`;
};

export class Start {
  #on = new AbortController();
  unit = document.createTextNode("Practice bench");

  /** @param {HTMLElement} element */
  constructor(element) {
    this.element = element;
    document.title = "Bench – ohmward";
    this.trouble = h("div", { role: "alert" });
    this.practice = h("button", { class: "main", onclick: () => this.#go(post("/api/practice", {})) },
      this.unit,
      h("small", {}, "an invented unit with a hidden short, and a simulated meter"));
    this.recent = h("section", { class: "recent" });
    this.far = h("p", { class: "quiet" });
    element.replaceChildren(this.#head(), this.trouble, this.#ways(), this.recent, this.far);
    const quiet = { signal: this.#on.signal };
    addEventListener("dragover", (e) => { e.preventDefault(); element.classList.add("over"); }, quiet);
    addEventListener("dragleave", (e) => { if (!e.relatedTarget) element.classList.remove("over"); }, quiet);
    addEventListener("drop", (e) => {
      e.preventDefault();
      element.classList.remove("over");
      if (e.dataTransfer) this.#take(dropped(e.dataTransfer));
    }, quiet);
    this.#load();
  }

  end() {
    this.#on.abort();
  }

  #head() {
    return h("header", {}, h("h1", {}, "What is on the bench?"),
      h("p", { class: "quiet" },
        "Two nets read near zero ohms and must not. " +
        "Bring the board’s fabrication files, and a few readings will say where they touch."));
  }

  #ways() {
    const folder = h("input",
      { type: "file", multiple: true, webkitdirectory: true, class: "unseen", tabIndex: -1,
        "aria-hidden": "true" });
    const file = h("input",
      { type: "file", multiple: true, class: "unseen", tabIndex: -1, "aria-hidden": "true" });
    for (const f of [folder, file]) f.addEventListener("change", () => f.files?.length &&
      this.#take(chosen(f.files)));
    return h("section", { class: "ways" },
      h("div", { class: "drop" }, h("p", { class: "big" }, "Drop a folder, a zip or an IPC-2581 file here"),
        h("div", { class: "row" }, h("button", { onclick: () => folder.click() }, "Choose a folder"),
          h("button", { onclick: () => file.click() }, "Choose files"), folder, file)),
      this.practice,
      h("button", { onclick: () => this.#go(post("/api/cases", { demo: true })) },
        "The demo board, with values you type"));
  }

  async #load() {
    try {
      /** @type {StartAnswer} */
      const a = await get("/api/start");
      this.unit.textContent = `Practice unit ${a.practice}`;
      if (!document.activeElement ||
        document.activeElement === document.body) this.practice.focus({ preventScroll: true });
      if (a.recent.length) this.recent.replaceChildren(h("h2", {}, "Go on with"),
        h("ul", {}, a.recent.map((c) => this.#line(c))));
      if (a.code) this.far.textContent = `A tablet on this network: open ${a.far_url} and type ${a.code}.`;
    } catch (e) {
      this.#say(e);
    }
  }

  /** @param {CaseLine} c */
  #line(c) {
    return h("li", {}, h("a", { href: `#/case/${c.id}` }, h("b", {}, c.title),
      h("span", {}, c.nets.length ? c.nets.join(" and ") : "nets not chosen"),
      h("span", { class: "quiet" }, `${c.state}, ${ago(c.changed)}`)),
      c.practice ? null : h("button",
        { class: "plain", "aria-label": `Another unit of ${c.title}`,
          onclick: () => this.#go(post("/api/cases", { like: c.id })) }, "Another unit"));
  }

  /** @param {Bundle | Promise<Bundle>} gathering */
  async #take(gathering) {
    this.trouble.replaceChildren(h("p", { class: "quiet" }, "Reading the files …"));
    const { name, files } = await gathering;
    await this.#go(bring(name, files));
  }

  /** @param {Promise<Begun>} asked */
  async #go(asked) {
    try {
      location.hash = `#/case/${(await asked).id}`;
    } catch (e) {
      this.#say(e);
    }
  }

  /** @param {{ message: string, hint?: string }} e */
  #say(e) {
    this.trouble.replaceChildren(h("p", { class: "trouble" }, h("b", {}, e.message), e.hint || ""));
  }
}
