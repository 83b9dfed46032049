// The board on the page: loads its drawing, inks what the case is about, and
// turns taps into actions. The drawing surface itself is board/canvas.js.

import { h, Part } from "./dom.js";
import { getBlock } from "./server.js";
import { marksOf, pinsOf } from "./marks.js";
import { drawLegend, drawTold, told } from "./told.js";
import { BoardCanvas } from "./board/canvas.js";
import { Lie } from "./board/lie.js";
import { gap } from "./board/gap.js";

/** @import { Job } from "./job.js" */

const nm = 1e6; // nanometres in a millimetre
const beside = 4.5; // millimetres of board shown around what is looked at

export class BoardPane {
  /** @param {HTMLElement} element @param {Job} job */
  constructor(element, job) {
    this.element = element;
    this.job = job;
    /** @type {View | null} */
    this.state = null;
    /** @type {Promise<void> | null} */
    this.loading = null;
    this.read = "";
    this.followed = JSON.stringify([null, ""]); // a drawing that is loaded is seen whole
    this.ready = false;
    this.early = 0; // the number of the early picture that is asked for or shown
    this.some = false; // of the board is drawn
    this.painted = "";
    this.behind = false;
    this.host = h("div", { class: "board", role: "img", "aria-label": "The board: nothing is drawn yet" });
    this.name = h("span", { class: "name" });
    this.over = h("p", { class: "over", role: "status", hidden: true });
    this.drawing = h("p", { class: "drawing", "aria-hidden": "true", hidden: true }, "Being drawn …");
    this.reading = h("p", { class: "reading", role: "status", hidden: true });
    this.told = new Part(h("div", { class: "told" }), drawTold);
    this.legend = new Part(h("div", { class: "legend" }), drawLegend);
    this.over.append("This is on the other side: ", h("button", { onclick: () => this.turn() }, "turn over"));
    element.append(this.told.element, this.host, h("div", { class: "notes" }, this.over, this.reading,
      this.drawing),
      h("div", { class: "hold" },
        h("button", { onclick: () => this.turn() }, "Turn over"),
        h("button", { onclick: () => this.rotate() }, "Rotate"),
        h("button", { onclick: () => this.fit() }, "Whole board"), this.name, this.legend.element));
    this.canvas = new BoardCanvas(this.host, { onTap: (t) => this.#tap(t),
      onDrawing: (is) => { this.drawing.hidden = !is; } });
    Object.assign(this.host, { canvas: this.canvas }); // for tests
    this.scheme = matchMedia("(prefers-color-scheme: dark)");
    this.again = () => { if (this.ready && this.state) this.#close(this.state); };
    this.scheme.addEventListener("change", this.again);
  }

  end() {
    this.scheme.removeEventListener("change", this.again);
    this.canvas.end();
  }

  /** @param {View} v */
  async show(v) {
    this.state = v;
    this.told.show(told(v));
    this.legend.show({ nets: v.groups.map((g, i) => v.nets[i] || g[0] || ""), red: v.red_group });
    this.#reading(v);
    if (!v.board) return;
    if (this.read !== v.board.read) { // other roles, another drawing
      this.loading = null;
      this.ready = false;
      this.painted = "";
      this.read = v.board.read;
    }
    if (!this.loading) {
      this.loading = getBlock(`/api/cases/${v.id}/drawing`).then((b) => this.canvas.load(b)).then(() => {
        this.ready = this.some = true;
        this.host.dataset.ready = "yes";
        delete this.host.dataset.early;
        this.reading.hidden = true;
        if (this.state) this.#ink(this.state);
        this.job.redraw();
      }).catch((e) => {
        this.loading = null;
        this.job.trouble = { what: e.message, hint: e.hint };
      });
    }
    if (this.ready) this.#ink(v);
  }

  // reading shows what there is of a board that is still read, and says so until the
  // whole drawing is on the screen.
  /** @param {View} v */
  #reading(v) {
    const e = v.early;
    if (!e || v.board) return;
    this.reading.textContent = e.words;
    this.reading.hidden = false;
    if (this.early === e.number) return;
    this.early = e.number;
    this.loading = null;
    this.ready = false;
    delete this.host.dataset.ready;
    getBlock(`/api/cases/${v.id}/drawing/early`).then(async (b) => {
      if (b.byteLength === 0 || this.loading || this.early !== e.number) return; // there is a later one
      const first = !this.some;
      if (first && v.turns) this.canvas.show({ turns: v.turns });
      this.some = true;
      this.host.setAttribute("aria-label", e.words);
      await this.canvas.load(b);
      if (!this.loading && this.early === e.number) this.host.dataset.early = String(e.number);
    }).catch(() => { this.early = 0; }); // only for looking at meanwhile
  }

  /** @param {View} v */
  #ink(v) {
    const table = this.canvas.drawing;
    /** @param {string[]} names */
    const ids = (names) => names.map((n) => table.Nets.indexOf(n)).filter((i) => i >= 0);
    const nets = [ids(v.groups[v.red_group] || []), ids(v.groups[1 - v.red_group] || [])];
    /** @type {Partial<BoardState>} */
    const change = { marks: marksOf(v, (x, y) => this.#at(x, y)), ring: this.#ring(v), named: v.named || [],
      pins: pinsOf(v, table) };
    if (v.turns !== this.canvas.state.turns) change.turns = v.turns;
    const inked = JSON.stringify([nets, v.where?.density]);
    if (inked !== this.painted) {
      this.painted = inked;
      change.nets = nets;
      change.density = v.where
        ? Float64Array.from(v.where.density.flatMap(([x, y, p]) => [...this.#at(x, y), p])) : null;
    }
    this.canvas.show(change);
    this.#describe(v);
    this.#follow(v);
    this.#close(v);
  }

  // close paints the answer's close-up beside its words, its circle in it.
  /** @param {View} v */
  #close(v) {
    const canvas = this.told.element.querySelector("canvas"), b = v.where?.best;
    if (!canvas || !b || canvas.clientWidth === 0) return;
    const key = JSON.stringify([b.x_mm, b.y_mm, b.x2_mm, b.y2_mm, b.radius_mm, b.layer, this.painted, v.turns,
      canvas.clientWidth, this.scheme.matches]);
    if (canvas.dataset.drawn === key) return;
    canvas.dataset.drawn = key;
    this.still(canvas, b, Math.max(2.6 * b.radius_mm, 3));
  }

  // at turns millimetres of the files' frame into the drawing's nanometres.
  /** @param {number} x @param {number} y @returns {[number, number]} */
  #at(x, y) {
    const o = this.canvas.drawing.Origin;
    return [x * nm - o[0], y * nm - o[1]];
  }

  /** @param {View} v @returns {Ring | null} */
  #ring(v) {
    const b = v.where?.best;
    if (!b) return null;
    const [x, y] = this.#at((b.x_mm + b.x2_mm) / 2, (b.y_mm + b.y2_mm) / 2);
    return { x, y, radius: Math.max(b.radius_mm, 0.3) * nm, text: "" };
  }

  // follow looks at what the card speaks of when that changes: on its side, with
  // some board around it.
  /** @param {View} v */
  #follow(v) {
    const f = v.focus || null, key = JSON.stringify([f, f ? v.step : ""]);
    if (key !== this.followed) {
      this.followed = key;
      if (!f) this.canvas.fit();
      else this.#focus(f);
    }
    this.over.hidden = !f || !f.side || (f.side === "bottom") === this.behind;
  }

  /** @param {Focus} f */
  #focus(f) {
    if (f.side) this.#side(f.side === "bottom");
    const [x0, y0] = this.#at(f.x0_mm, f.y0_mm), [x1, y1] = this.#at(f.x1_mm, f.y1_mm);
    const b = this.canvas.drawing.Box;
    const more = beside * nm + 0.12 * Math.max(x1 - x0, y1 - y0);
    const mid = [(x0 + x1) / 2, (y0 + y1) / 2], whole = this.#whole() / 2;
    const half = [(x1 - x0) / 2 + more, (y1 - y0) / 2 + more].map((d) => Math.min(d, whole));
    const wide = b[2] - b[0] <= 2 * half[0] && b[3] - b[1] <= 2 * half[1];
    this.canvas.frame(wide ? b : [mid[0] - half[0], mid[1] - half[1], mid[0] + half[0], mid[1] + half[1]]);
  }

  #whole() {
    const b = this.canvas.drawing.Box;
    return Math.max(b[2] - b[0], b[3] - b[1]) * 1.05;
  }

  /** @param {boolean} bottom */
  #side(bottom) {
    this.behind = bottom;
    this.canvas.show({ behind: bottom });
    this.#name();
  }

  turn() {
    if (!this.some || !this.state) return;
    this.#side(!this.behind);
    this.#describe(this.state);
    const side = this.state.focus?.side;
    this.over.hidden = !side || (side === "bottom") === this.behind;
  }

  // rotate turns the picture by a quarter, clockwise as it is seen.
  rotate() {
    if (!this.ready || !this.state) return;
    this.job.act({ do: "rotate", n: (this.state.turns + (this.behind ? 3 : 1)) % 4 });
  }

  fit() {
    if (this.some) this.canvas.fit();
  }

  /** @param {number} factor */
  zoom(factor) {
    if (this.some) this.canvas.zoom(factor);
  }

  // lookAt goes to a place in millimetres, on the side that shows it.
  /** @param {{ x_mm: number, y_mm: number, x2_mm?: number, y2_mm?: number, layer: string }} p */
  lookAt(p, across = 9) {
    if (!this.ready) return;
    const layers = this.canvas.drawing.Layers;
    if (layers.length > 1) this.#side(p.layer === layers[layers.length - 1].Name);
    const [x, y] = this.#at((p.x_mm + (p.x2_mm ?? p.x_mm)) / 2, (p.y_mm + (p.y2_mm ?? p.y_mm)) / 2);
    this.canvas.look({ x, y, across: across * nm });
  }

  // still paints the close-up of a site, with the two places that touch.
  /** @param {HTMLCanvasElement} canvas @param {BestSite} best @param {number} [mm] across */
  async still(canvas, best, mm = 3) {
    const layers = this.canvas.drawing.Layers, was = this.behind;
    const behind = layers.length > 1 && best.layer === layers[layers.length - 1].Name;
    const [x0, y0] = this.#at(best.x_mm, best.y_mm), [x1, y1] = this.#at(best.x2_mm, best.y2_mm);
    const across = Math.max(mm * nm, 2.2 * Math.hypot(x1 - x0, y1 - y0));
    this.canvas.state.behind = behind;
    const painted = this.canvas.still(canvas, { x: (x0 + x1) / 2, y: (y0 + y1) / 2, across });
    this.canvas.state.behind = was;
    const camera = await painted;
    const dpr = devicePixelRatio || 1;
    gap(canvas, camera, new Lie(camera.scale * dpr, behind, this.canvas.state.turns),
      { ends: [[x0, y0], [x1, y1]], radius: best.radius_mm * nm });
  }

  #name() {
    this.name.textContent = this.behind ? "bottom" : "top";
  }

  /** @param {View} v */
  #describe(v) {
    this.#name();
    if (!v.board) return;
    const side = this.behind ? "Bottom" : "Top";
    const likely = v.where?.words && [v.where.words, v.where.radius].filter(Boolean).join(", ");
    const where = likely ? ` The short is likely ${likely}.` : "";
    const touch = v.target ? ` Red on ${v.target.red.words}, black on ${v.target.black.words}.` : "";
    this.host.setAttribute("aria-label", `${side} of ${v.board.name}.${where}${touch}`);
  }

  /** @param {Tap} t */
  #tap(t) {
    if (!this.ready) return;
    const table = this.canvas.drawing, v = this.state;
    const net = t.pad && t.pad.Net >= 0 ? t.pad.Net : t.net;
    if (v?.step === "seen") this.job.act({ do: "seen-at", place: this.#place(t.layer, t.x, t.y) });
    if (net < 0 || !v) return;
    if (v.step === "nets") this.job.act({ do: "pick", text: table.Nets[net] });
    if (v.step !== "read" || !v.groups.flat().includes(table.Nets[net])) return;
    const [x, y] = t.pad ? t.pad.At : [t.x, t.y];
    this.job.act({ do: "aim", place: this.#place(t.layer, x, y) });
  }

  // place writes a point of the drawing as a case file takes it.
  /** @param {number} layer @param {number} x @param {number} y */
  #place(layer, x, y) {
    const table = this.canvas.drawing;
    /** @param {number} a @param {number} o */
    const mm = (a, o) => ((a + o) / nm).toFixed(4);
    return `${table.Layers[layer].Name}@${mm(x, table.Origin[0])},${mm(y, table.Origin[1])}`;
  }
}
