// Keys, and the foot-switch, which is a key. One key does the first thing on
// offer; one takes the last step back.
//
//   Enter, Space, Page Down, the foot's own key   the main thing
//   Backspace, Page Up, the foot's other key      take back
//   1 … 9                                         the others, in order, with Alt
//   t  turn the board, f  fit it, s  say it again, a digit, sign or point  type a
//      value; + and -  zoom where none is asked for
//   d  doubt the last reading, or not (the foot's third key), r  touch its
//      places again

/** @import { Job } from "./job.js" */

const bounce = 250; // ms in which a second press of one foot counts as the same
/** @type {Record<keyof Foot, string[]>} */
const known = { main: ["Enter", " ", "PageDown"], undo: ["Backspace", "PageUp"], doubt: [] };

export class Keys {
  #on = new AbortController();
  #last = -Infinity;

  /** @param {Job} job */
  constructor(job) {
    this.job = job;
    /** @type {keyof Foot | ""} */
    this.learning = "";
    /** @type {Foot} */
    this.foot = {};
    try {
      this.foot = JSON.parse(localStorage.getItem("foot") || "{}");
    } catch {
      // what is stored is not ours: nothing is set
    }
    addEventListener("keydown", (e) => this.#key(e), { signal: this.#on.signal });
    addEventListener("paste", (e) => this.#paste(e), { signal: this.#on.signal });
  }

  end() {
    this.#on.abort();
  }

  // learn takes the next key pressed for the foot.
  /** @param {keyof Foot} what */
  learn(what) {
    this.learning = what;
    this.job.redraw();
  }

  /** @param {KeyboardEvent} e */
  #key(e) {
    if (this.learning) return this.#learned(e);
    const at = /** @type {Element} */ (e.target), typing = at.matches?.("input, select, textarea"),
      pressing = at.closest?.("button, summary, a");
    /** @param {keyof Foot} what */
    const is = (what) => e.key === this.foot[what] || known[what].includes(e.key) &&
      !(typing || (pressing && (e.key === "Enter" || e.key === " ")));
    if (e.ctrlKey || e.metaKey) return;
    if (is("main")) return this.#once(e, () => this.job.main());
    if (is("undo")) return this.#once(e, () => this.job.undo());
    if (is("doubt")) return this.#once(e, () => this.job.last("doubt"));
    if (typing) return;
    if (e.altKey && /^[1-9]$/.test(e.key)) return this.#once(e, () => this.job.option(Number(e.key) - 1));
    if (e.altKey) return;
    /** @type {Record<string, () => void>} */
    const other = { t: () => this.job.board.turn(), f: () => this.job.board.fit(), s: () => this.job.speak(),
      d: () => this.job.last("doubt"), r: () => this.job.last("again"), "+": () => this.job.board.zoom(1.5),
      "-": () => this.job.board.zoom(1 / 1.5) };
    const act = other[e.key.toLowerCase()];
    if (this.job.entry.begin(e.key)) return;
    if (act) this.#once(e, act);
  }

  /** @param {ClipboardEvent} e */
  #paste(e) {
    const at = /** @type {Element} */ (e.target);
    if (at.matches?.("input, textarea")) return;
    if (this.job.entry.paste((e.clipboardData?.getData("text") || "").trim())) e.preventDefault();
  }

  // once lets neither a held key nor a bouncing switch act twice.
  /** @param {KeyboardEvent} e @param {() => void} act */
  #once(e, act) {
    e.preventDefault();
    if (e.repeat || e.timeStamp - this.#last < bounce) return;
    this.#last = e.timeStamp;
    act();
  }

  /** @param {KeyboardEvent} e */
  #learned(e) {
    e.preventDefault();
    if (e.key !== "Escape" && this.learning) this.foot[this.learning] = e.key;
    localStorage.setItem("foot", JSON.stringify(this.foot));
    this.learning = "";
    this.job.redraw();
  }
}
