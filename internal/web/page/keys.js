// Keys, and the foot-switch, which is a key. One key does the first thing on
// offer; one takes the last step back.
//
//   Enter, Space, Page Down, the foot's own key   the main thing
//   Backspace, Page Up, the foot's other key      take back
//   1 … 9                                         the others, in order, with Alt
//   t  turn the board, f  fit it, s  say it again, digits  type a value
//   d  doubt the last reading, or not (the foot's third key), r  touch its
//      places again

const bounce = 250; // ms in which a second press of one foot counts as the same
const known = { main: ["Enter", " ", "PageDown"], undo: ["Backspace", "PageUp"], doubt: [] };

export class Keys {
  #on = new AbortController();
  #last = 0;

  constructor(job) {
    this.job = job;
    this.learning = "";
    try {
      this.foot = JSON.parse(localStorage.getItem("foot")) || {};
    } catch {
      this.foot = {};
    }
    addEventListener("keydown", (e) => this.#key(e), { signal: this.#on.signal });
  }

  end() {
    this.#on.abort();
  }

  // learn takes the next key pressed for the foot.
  learn(what) {
    this.learning = what;
    this.job.redraw();
  }

  #key(e) {
    if (this.learning) return this.#learned(e);
    const at = e.target, typing = at.matches?.("input, select, textarea"), pressing = at.closest?.("button, summary, a");
    const is = (what) => e.key === this.foot[what] || known[what].includes(e.key) && !(typing || (pressing && (e.key === "Enter" || e.key === " ")));
    if (e.ctrlKey || e.metaKey) return;
    if (is("main")) return this.#once(e, () => this.job.main());
    if (is("undo")) return this.#once(e, () => this.job.undo());
    if (is("doubt")) return this.#once(e, () => this.job.last("doubt"));
    if (typing) return;
    if (e.altKey && /^[1-9]$/.test(e.key)) return this.#once(e, () => this.job.option(Number(e.key) - 1));
    if (e.altKey) return;
    const other = { t: () => this.job.board.turn(), f: () => this.job.board.fit(), s: () => this.job.speak(), d: () => this.job.last("doubt"), r: () => this.job.last("again"), "+": () => this.job.board.zoom(1.5), "-": () => this.job.board.zoom(1 / 1.5) }[e.key.toLowerCase()];
    if (/^[0-9.]$|^[oO]$/.test(e.key)) return this.job.entry.begin();
    if (other) this.#once(e, other);
  }

  // once lets neither a held key nor a bouncing switch act twice.
  #once(e, act) {
    e.preventDefault();
    if (e.repeat || e.timeStamp - this.#last < bounce) return;
    this.#last = e.timeStamp;
    act();
  }

  #learned(e) {
    e.preventDefault();
    if (e.key !== "Escape") this.foot[this.learning] = e.key;
    localStorage.setItem("foot", JSON.stringify(this.foot));
    this.learning = "";
    this.job.redraw();
  }
}
