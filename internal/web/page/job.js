// One case on the page: follows what the server says of it, shows it, and
// sends what the person does. It decides nothing about the case itself.

import { byId, h, Part } from "./dom.js";
import { follow, post } from "./server.js";
import { BoardPane } from "./boardpane.js";
import { drawCard, drawPath } from "./card.js";
import { drawWhere, closeUp } from "./where.js";
import { drawHistory } from "./history.js";
import { LiveBar } from "./livebar.js";
import { Entry } from "./entry.js";
import { NetSearch } from "./nets.js";
import { Keys } from "./keys.js";
import { drawDoubts, drawMend } from "./doubts.js";
import { drawSettings } from "./settings.js";
import { Asking } from "./ask.js";
import { Working } from "./working.js";
import * as sound from "./sound.js";
import * as voice from "./voice.js";

/** @import { CardView } from "./card.js" */

// part makes one region of the page.
/**
 * @template What
 * @param {string} name @param {(what: What) => Child} draw @param {"section" | "div" | "nav"} [tag]
 */
const part = (name, draw, tag = "section") => new Part(h(tag, { class: name }), draw);

const choosing = new Set(["pick", "aim", "move", "rotate"]);

export class Job {
  /** @param {HTMLElement} element @param {string} id */
  constructor(element, id) {
    this.id = id;
    this.element = element;
    Object.assign(element, { job: this }); // for tests
    /** @type {View | null} */
    this.view = null;
    /** @type {Partial<Trouble> & { what: string } | null} */
    this.trouble = null;
    this.seen = false; // since the last action
    this.sent = Promise.resolve();
    this.busy = false;
    this.leaving = false; // another case was asked for
    this.working = new Working(element);
    this.board = new BoardPane(h("section", { class: "pane", "aria-label": "The board" }), this);
    this.bar = new LiveBar();
    this.entry = new Entry((text) => this.act({ do: "value", text }, "take"));
    this.search = new NetSearch(this);
    this.asking = new Asking(this);
    this.parts = this.#parts();
    this.now = h("section", { class: "now" });
    this.side = this.#layOut();
    this.keys = new Keys(this);
    this.stop = follow(id, {
      view: (v) => this.#show(v), live: (l) => this.#live(l),
      lost: (is) => { byId("lost").hidden = !is; },
      gone: () => { location.hash = ""; },
    });
  }

  end() {
    this.stop();
    this.keys.end();
    this.board.end();
    sound.quiet();
    voice.quiet();
    byId("lost").hidden = true;
  }

  // parts are the regions of the page that are drawn anew when what they show
  // has changed.
  #parts() {
    return {
      path: part("path", drawPath, "nav"),
      wrong: part("wrong", drawWrong, "div"),
      card: part("card", (/** @type {CardView} */ v) => drawCard(v, this), "div"),
      doing: part("doing", (/** @type {Doing} */ v) => drawDoing(v, this), "div"),
      mend: part("mend", (/** @type {MendView | null} */ m) => m && drawMend(m, this), "div"),
      doubts: part("doubts", (/** @type {Parameters<typeof drawDoubts>[0]} */ d) => drawDoubts(d, this)),
      where: part("where", (/** @type {Parameters<typeof drawWhere>[0]} */ w) => drawWhere(w, this)),
      history: part("history",
        (/** @type {Pick<View, "readings" | "findings">} */ v) => drawHistory(v, this)),
      settings: part("settings", (/** @type {Settings} */ s) => drawSettings(s, this)),
    };
  }

  // layOut puts the regions on the page, and gives the one beside the board.
  #layOut() {
    const p = this.parts;
    p.wrong.element.setAttribute("role", "alert");
    this.now.append(p.path.element, p.wrong.element, p.card.element, this.search.element,
      this.bar.element, this.bar.print, this.entry.element, this.working.missed, p.doing.element,
      this.search.pairs, p.mend.element);
    const side = h("div", { class: "side" }, this.now, p.doubts.element, p.where.element, p.history.element,
      this.asking.element, p.settings.element);
    this.element.replaceChildren(this.board.element, side);
    return side;
  }

  // act sends what the person does, on the state that is shown. While one is
  // on its way, choosing waits for it, and so does what was done after its
  // outcome was seen; anything else does not count, and that is told: it was
  // meant for what was shown before.
  /** @param {Asked} a @param {string} [key] of the button that a key stood for */
  async act(a, key) {
    if (!this.view) return;
    if (this.busy && !this.seen && !choosing.has(a.do)) return this.working.miss();
    const on = choosing.has(a.do) ? undefined : this.view.rev;
    const number = this.working.begin(key ? this.#button(key) : null);
    while (this.busy) await this.sent;
    this.busy = true;
    this.seen = false;
    this.sent = this.#send({ ...a, rev: on ?? this.view.rev }, number);
    await this.sent;
  }

  /** @param {string} key @returns {HTMLElement | null} */
  #button(key) {
    return this.now.querySelector(`button[data-key="${CSS.escape(key)}"]`);
  }

  /** @param {Action} a @param {number} number */
  async #send(a, number) {
    this.trouble = null;
    let refused = false;
    try {
      await post(`/api/cases/${this.id}/act`, a);
      this.entry.taken(a);
    } catch (e) {
      this.trouble = { code: e.code, what: e.message, hint: e.hint };
      refused = true;
    } finally {
      this.busy = false;
      this.working.end(number);
      this.redraw();
      if (refused) this.entry.refused(a);
    }
  }

  // main does the first thing on offer; undo takes the last back.
  main() {
    const first = this.view?.card.doing[0];
    if (!this.view || this.entry.send()) return;
    if (first && !first.aside) this.option(0);
    else if (this.view.busy) this.working.miss("still at work.");
    else if (!this.entry.element.hidden) this.working.miss("type the value first.");
    else if (first) this.working.miss("no one key does this. Press the button itself.");
  }

  /** @param {number} n */
  option(n) {
    const o = this.view?.card.doing[n];
    if (o) this.act(o.act, "do" + n);
  }

  undo() {
    if (this.view) this.act({ do: "undo" }, "undo");
  }

  // last does something with the last reading: "doubt" or "again".
  /** @param {"doubt" | "again"} what */
  last(what) {
    const n = (this.view?.readings.length || 0) - 1;
    if (n >= 0) this.act({ do: what, n });
  }

  // next begins a case on another unit of the same board.
  async next() {
    if (this.leaving) return this.working.miss();
    this.leaving = true;
    const number = this.working.begin(this.#button("next"));
    try {
      location.hash = `#/case/${(await post("/api/cases", { like: this.id })).id}`;
    } catch (e) {
      this.trouble = { what: e.message, hint: e.hint };
      this.leaving = false;
      this.working.end(number);
      this.redraw();
    }
  }

  speak() {
    voice.say(this.view?.card.speak || "", true);
  }

  redraw() {
    if (this.view) this.#draw(this.view);
  }

  /** @param {View} v */
  #show(v) {
    const was = this.view;
    this.view = v;
    this.seen = true;
    Object.assign(this.element.dataset, { step: v.step, rev: v.rev, busy: v.busy ? "yes" : "" });
    document.title = `${v.card.head} – ${v.title}`;
    // A conflict stays to be read: the new state is what it is about.
    if (was && v.rev !== was.rev && this.trouble?.code !== "conflict") this.trouble = null;
    const taken = was && v.readings.length > was.readings.length;
    // A flash; taken off by the next act.
    if (was && v.rev !== was.rev) this.now.classList.toggle("taken", Boolean(taken));
    if (taken) sound.taken();
    else if (was && v.rev > was.rev && (was.meter.down || v.step !== was.step)) sound.step();
    if (v.card.tone === "good" && was && was.step === "rework" && !was.card.tone &&
      v.step === "rework") sound.opened();
    if (!was || v.card.speak !== was.card.speak) {
      byId("spoken").textContent = v.card.speak;
      voice.say(v.card.speak);
    }
    this.now.classList.toggle("simulated", v.meter.kind === "simulated");
    this.board.show(v);
    this.working.end();
    if (was && was.rev !== v.rev) this.working.moved();
    this.#draw(v);
    if (was && was.step !== v.step) this.#top();
  }

  // top brings the new card before the eyes.
  #top() {
    this.side.scrollTop = 0;
    scrollTo(0, 0);
  }

  /** @param {View} v */
  #draw(v) {
    const p = this.parts;
    p.path.show(v.path);
    p.wrong.show(this.trouble || (v.board || v.busy ? v.trouble : null));
    p.card.show({ card: v.card, target: v.target, title: v.title, step: v.step, busy: v.busy });
    p.doing.show({ doing: v.card.doing, undo: v.can_undo, no: v.no_undo || "", busy: Boolean(v.busy),
      step: v.step, practice: v.meter.kind === "simulated" });
    p.mend.show(v.mend || null);
    p.doubts.show({ doubts: (v.board?.doubts || []).filter((d) => !d.settled), roles: v.board?.roles || [],
      copies: v.board?.copies || [], open: v.step === "nets" });
    p.where.show(v.where && v.where.verdict !== "no reading yet" ? v.where : v.where &&
      { places: v.where.places, reach: v.where.reach, before: true });
    p.history.show({ readings: v.readings, findings: v.findings });
    p.settings.show({ voice: voice.wanted(), can: voice.possible(), sound: sound.wanted(),
      foot: this.keys.foot, board: v.board, meter: v.meter.words, id: v.id, learning: this.keys.learning });
    this.search.show(v);
    this.asking.show(v);
    this.bar.says(v.meter);
    this.entry.show(v.card.entry, v.step, Boolean(v.busy));
    this.working.mark();
    if (v.where?.best) closeUp(this.board, v.where.best);
  }

  /** @param {Live} l */
  #live(l) {
    this.bar.show(l, this.view);
    if (l.on && this.view?.card.bar) sound.live(l, this.view.step === "rework");
    else sound.quiet();
  }
}

/** @param {{ what: string, hint?: string } | null | undefined} t */
const drawWrong = (t) => t && h("p", { class: "trouble" }, h("b", {}, t.what), t.hint || "");

/**
 * @typedef {{ doing: Choice[], undo: boolean, no: string, busy: boolean, step: string,
 *   practice: boolean }} Doing
 */

/** @param {Doing} v @param {Job} job */
function drawDoing({ doing, undo, no, busy, step, practice }, job) {
  /** @type {HTMLElement[]} */
  const out = doing.map((o, i) => h("button", {
    class: i === 0 && !o.aside ? "main" : "", "data-key": "do" + i, disabled: busy,
      onclick: () => job.act(o.act),
  }, o.words, o.note ? h("small", {}, o.note) : ""));
  if (step === "closed") out.push(h("button",
    { class: "main", "data-key": "next", onclick: () => job.next() },
    practice ? "Next practice unit" : "Another unit of this board"));
  if (undo) out.push(h("button",
    { class: "plain", "data-key": "undo", disabled: busy, onclick: () => job.undo() },
    "Take back the last step"));
  else if (no) out.push(h("small", { "data-no": "undo" }, no));
  return out;
}
