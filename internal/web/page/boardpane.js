// The board on the page: loads its drawing, inks what the case is about, and
// turns taps into actions. The drawing surface itself is board/canvas.js.

import { h } from "./dom.js";
import { getBlock } from "./server.js";
import { BoardCanvas } from "./board/canvas.js";

/** @import { Job } from "./job.js" */

const nm = 1e6; // nanometres in a millimetre

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
    this.followed = "";
    this.ready = false;
    this.painted = "";
    this.behind = false;
    this.host = h("div", { class: "board", role: "img", "aria-label": "The board: nothing is drawn yet" });
    this.name = h("span", { class: "name" });
    element.append(this.host, h("div", { class: "hold" },
      h("button", { onclick: () => this.turn() }, "Turn over"),
        h("button", { onclick: () => this.fit() }, "Whole board"), this.name));
    this.canvas = new BoardCanvas(this.host, { onTap: (t) => this.#tap(t) });
    Object.assign(this.host, { canvas: this.canvas }); // for tests
  }

  end() {
    this.canvas.end();
  }

  /** @param {View} v */
  async show(v) {
    this.state = v;
    if (!v.board) return;
    if (this.read !== v.board.read) { // other roles, another drawing
      this.loading = null;
      this.ready = false;
      this.painted = "";
      this.read = v.board.read;
    }
    if (!this.loading) {
      this.loading = getBlock(`/api/cases/${v.id}/drawing`).then((b) => this.canvas.load(b)).then(() => {
        this.ready = true;
        this.host.dataset.ready = "yes";
        if (this.state) this.#ink(this.state);
        this.job.redraw();
      }).catch((e) => {
        this.loading = null;
        this.job.trouble = { what: e.message, hint: e.hint };
      });
    }
    if (this.ready) this.#ink(v);
  }

  /** @param {View} v */
  #ink(v) {
    const table = this.canvas.drawing;
    /** @param {string[]} names */
    const ids = (names) => names.map((n) => table.Nets.indexOf(n)).filter((i) => i >= 0);
    const nets = v.groups.map(ids);
    /** @type {Partial<BoardState>} */
    const change = { marks: this.#marks(v), ring: this.#ring(v) };
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
  }

  // at turns millimetres of the files' frame into the drawing's nanometres.
  /** @param {number} x @param {number} y @returns {[number, number]} */
  #at(x, y) {
    const o = this.canvas.drawing.Origin;
    return [x * nm - o[0], y * nm - o[1]];
  }

  /** @param {View} v @returns {Mark[]} */
  #marks(v) {
    /** @type {Mark[]} */
    const out = [];
    /** @param {number} x @param {number} y @param {Lead} lead @param {Partial<Mark>} more */
    const mark = (x, y, lead,
      more) => { const [a, b] = this.#at(x, y); out.push({ x: a, y: b, lead, ...more }); };
    for (const r of v.readings) {
      mark(r.from_x_mm, r.from_y_mm, "red", { sign: String(r.n + 1) });
      mark(r.to_x_mm, r.to_y_mm, "black", { sign: String(r.n + 1) });
    }
    if (v.target) {
      const t = v.target;
      /** @param {Place} s */
      const called = (s) => (s.place.includes("@") ? s.part : s.place);
      mark(t.red.x_mm, t.red.y_mm, "red", { text: called(t.red), large: true });
      mark(t.black.x_mm, t.black.y_mm, "black", { text: called(t.black), large: true });
    }
    return out;
  }

  /** @param {View} v @returns {Ring | null} */
  #ring(v) {
    const b = v.where?.best;
    if (!b) return null;
    const [x, y] = this.#at((b.x_mm + b.x2_mm) / 2, (b.y_mm + b.y2_mm) / 2);
    return { x, y, radius: Math.max(b.radius_mm, 0.3) * nm, text: "" };
  }

  // follow looks at what matters when the step changes: the places to touch
  // with some board around them, or the likeliest place.
  /** @param {View} v */
  #follow(v) {
    const t = v.target, b = v.where?.best;
    const best = !t && ["mend", "rework", "seen", "cool"].includes(v.step) ? b : null;
    const key = JSON.stringify(t ? [t.red.x_mm, t.red.y_mm, t.black.x_mm, t.black.y_mm] : best
      ? [best.x_mm, best.y_mm] : []);
    if (key === this.followed) return;
    this.followed = key;
    if (t) {
      this.#side(t.red.bottom || t.black.bottom);
      const [x0, y0] = this.#at(t.red.x_mm, t.red.y_mm), [x1, y1] = this.#at(t.black.x_mm, t.black.y_mm);
      const across = Math.max(Math.abs(x0 - x1), Math.abs(y0 - y1)) * 1.7 + 14 * nm;
      this.canvas.look({ x: (x0 + x1) / 2, y: (y0 + y1) / 2, across: Math.min(across, this.#whole()) });
    } else if (best) {
      this.lookAt(best, 14);
    } else {
      this.canvas.fit();
    }
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
    if (!this.ready || !this.state) return;
    this.#side(!this.behind);
    this.#describe(this.state);
  }

  fit() {
    if (this.ready) this.canvas.fit();
  }

  /** @param {number} factor */
  zoom(factor) {
    if (this.ready) this.canvas.zoom(factor);
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
  /** @param {HTMLCanvasElement} canvas @param {BestSite} best */
  async still(canvas, best) {
    const layers = this.canvas.drawing.Layers, was = this.behind;
    const behind = layers.length > 1 && best.layer === layers[layers.length - 1].Name;
    const [x0, y0] = this.#at(best.x_mm, best.y_mm), [x1, y1] = this.#at(best.x2_mm, best.y2_mm);
    const across = Math.max(3 * nm, 2.2 * Math.hypot(x1 - x0, y1 - y0));
    this.canvas.state.behind = behind;
    const painted = this.canvas.still(canvas, { x: (x0 + x1) / 2, y: (y0 + y1) / 2, across });
    this.canvas.state.behind = was;
    const camera = await painted;
    gap(canvas, camera, behind, [x0, y0], [x1, y1]);
  }

  #name() {
    this.name.textContent = this.behind ? "bottom, as in the hand" : "top";
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

// gap draws a bar between the two places of a close-up.
/**
 * @param {HTMLCanvasElement} canvas @param {Camera} camera @param {boolean} behind
 * @param {[number, number]} a @param {[number, number]} b
 */
function gap(canvas, camera, behind, a, b) {
  const ctx = canvas.getContext("2d"), dpr = devicePixelRatio || 1, k = camera.scale * dpr;
  if (!ctx) return;
  const of = getComputedStyle(canvas);
  /** @param {[number, number]} place */
  const at = ([x, y]) =>
    [canvas.width / 2 + (x - camera.x) * k * (behind ? -1 : 1), canvas.height / 2 - (y - camera.y) * k];
  const [x0, y0] = at(a), [x1, y1] = at(b);
  for (const { width, ink } of [{ width: 7, ink: "--board-tag" }, { width: 3.5, ink: "--board-heat" }]) {
    ctx.strokeStyle = of.getPropertyValue(ink);
    ctx.lineWidth = width * dpr;
    ctx.lineCap = "round";
    ctx.beginPath();
    ctx.moveTo(x0, y0);
    ctx.lineTo(x1, y1);
    ctx.stroke();
    for (const [x, y] of [[x0, y0], [x1, y1]]) {
      ctx.beginPath();
      ctx.arc(x, y, 5 * dpr, 0, 7);
      ctx.stroke();
    }
  }
}
