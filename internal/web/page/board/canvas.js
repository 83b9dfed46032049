// BoardCanvas shows one board as it lies in front of the user: turned over, it mirrors. The
// copper is a picture that the painter's worker draws; during a gesture that is moved and
// stretched, and drawn sharp again at rest. What must stay crisp and live is drawn over it.
//
//   const canvas = new BoardCanvas(host, { onTap(tap) {…} });
//   await canvas.load(arrayBuffer);          // from the server's /drawing
//   canvas.show({ behind, turns, nets: [[…], […]], density, marks, ring });
//   canvas.look({ x, y, across });           // nm, nm, nm; or canvas.fit(), canvas.frame(box)
//
// A tap tells { layer, x, y, net, pad }: nanometres in the table's frame.

import { alike, decode } from "./geometry.js";
import { gestures } from "./gesture.js";
import { inksOf, larger } from "./inks.js";
import { Late } from "./late.js";
import { blit } from "./blit.js";
import { Lie, bounds } from "./lie.js";
import { overlay } from "./overlay.js";

/** @import { Geometry } from "./geometry.js" */
/** @typedef {"whole" | "sharp"} Kind */
/** @typedef {PaintJob & { image: ImageBitmap }} Picture */

const margin = 0.25; // of the view, drawn around it so that a drag finds copper
const restTime = 50; // ms without a move before it is drawn sharp
const mostPixels = 12e6; // of a picture: on larger screens the margin is left out

export class BoardCanvas {
  #worker; #canvas; #ctx; #host; #on; #sizes;
  /** @type {Partial<Record<Kind, Picture>>} */
  #pictures = {};
  /** @type {Partial<Record<Kind, PaintJob>>} */
  #wanted = {};
  /** @type {Map<string, (image: ImageBitmap) => void>} */
  #stills = new Map();
  /** @type {(() => void)[]} */
  #waiting = [];
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #jobs = 0;
  #frame = 0;
  #moving = false;
  #late = new Late((is) => this.#on.onDrawing?.(is));
  /** @type {number[] | null} */
  #framed = null; // the box that the view was last led to; null: moved by hand
  #dirty = true;
  #ended = new AbortController();

  /**
   * @param {HTMLElement} host
   * @param {{ onTap?: (tap: Tap) => void, onDrawing?: (is: boolean) => void }} on
   */
  constructor(host, on = {}) {
    this.#host = host;
    this.#on = on;
    /** @type {Geometry | null} */
    this.geometry = null;
    this.camera = { x: 0, y: 0, scale: 1e-5 }; // nm, nm, CSS pixels per nm
    /** @type {BoardState} */
    this.state = { behind: false, turns: 0, nets: [[], []], density: null, marks: [], ring: null, named: [],
      pins: [] };
    this.#canvas = host.ownerDocument.createElement("canvas");
    this.#canvas.className = "board-canvas";
    host.append(this.#canvas);
    const ctx = this.#canvas.getContext("2d", { alpha: false });
    if (!ctx) throw new Error("this browser gives no canvas to draw on");
    this.#ctx = ctx;
    this.#worker = new Worker(new URL("painter.js", import.meta.url), { type: "module" });
    this.#worker.onmessage = (e) => this.#painted(e.data);
    this.#sizes = new ResizeObserver(() => this.#resize());
    this.#sizes.observe(host);
    gestures(this.#canvas, this.#gesture());
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.repaint(),
      { signal: this.#ended.signal });
  }

  // end stops the worker and all that listens.
  end() {
    this.#ended.abort();
    this.#sizes.disconnect();
    clearTimeout(this.#timer);
    this.#late.end();
    this.#stop();
    this.#worker.terminate();
  }

  // drawing is the table of the board that was loaded.
  get drawing() {
    if (!this.geometry) throw new Error("no board is loaded");
    return this.geometry.table;
  }

  // load takes the packed drawing of a board; it resolves when that is on the
  // screen. A drawing that lies where the last one lay is seen from where that was.
  /** @param {ArrayBuffer} buffer */
  async load(buffer) {
    const copy = buffer.slice(0), was = this.geometry;
    this.geometry = decode(buffer);
    this.#worker.postMessage({ board: copy }, [copy]);
    if (was && alike(was.table, this.geometry.table)) this.repaint();
    else {
      this.#pictures = {};
      this.#resize();
      this.fit(false);
    }
    return this.settled();
  }

  // show changes what is inked.
  /** @param {Partial<BoardState>} change */
  show(change) {
    const before = this.state;
    this.state = { ...before, ...change };
    const turned = this.state.turns !== before.turns, over = this.state.behind !== before.behind;
    if (over) this.#pictures = {};
    if (turned && this.#framed) this.#apply(this.#framed, false);
    if (over || turned || "nets" in change || "density" in change) this.repaint();
    else this.#draw();
  }

  // settled resolves when the picture is sharp at the present camera.
  /** @returns {Promise<void>} */
  settled() {
    return new Promise((resolve) => {
      if (this.#sharp()) resolve();
      else this.#waiting.push(resolve);
    });
  }

  // fit looks at the whole board.
  fit(smooth = true) {
    if (!this.geometry) return;
    this.frame(this.geometry.table.Box, smooth);
  }

  // frame has a box in view: x and y at its least, then at its greatest.
  /** @param {number[]} box */
  frame(box, smooth = true) {
    this.#framed = box;
    this.#apply(box, smooth);
  }

  /** @param {number[]} b @param {boolean} smooth */
  #apply(b, smooth) {
    const { width, height } = this.#size(), [w, h] = this.#lie(1).across(b[2] - b[0] || 1, b[3] - b[1] || 1);
    const scale = 0.92 * Math.min(width / w, height / h);
    this.#go({ x: (b[0] + b[2]) / 2, y: (b[1] + b[3]) / 2, scale }, smooth);
  }

  // look goes to a place so that "across" nanometres fill the shorter side.
  /** @param {Look} place */
  look({ x, y, across }, smooth = true) {
    this.frame([x - across / 2, y - across / 2, x + across / 2, y + across / 2], smooth);
  }

  // pan and zoom move by CSS pixels and by a factor about a point of the view.
  /** @param {number} dx @param {number} dy */
  pan(dx, dy) {
    const c = this.camera, [x, y] = this.#lie().back(dx, dy);
    this.#framed = null;
    this.#moveTo({ ...c, x: c.x - x, y: c.y - y });
  }

  /** @param {number} factor @param {number} [px] @param {number} [py] */
  zoom(factor, px, py) {
    const { width, height } = this.#size();
    const [x, y] = this.place(px ?? width / 2, py ?? height / 2);
    const scale = this.#bounded(this.camera.scale * factor);
    const by = this.camera.scale / scale;
    this.#framed = null;
    this.#moveTo({ x: x + (this.camera.x - x) * by, y: y + (this.camera.y - y) * by, scale });
  }

  // place gives the board's point under a pixel of the view; screen the pixel
  // over a point of the board.
  /** @param {number} px @param {number} py @returns {[number, number]} */
  place(px, py) {
    const { width, height } = this.#size(), [x, y] = this.#lie().back(px - width / 2, py - height / 2);
    return [this.camera.x + x, this.camera.y + y];
  }

  /** @param {number} x @param {number} y @returns {[number, number]} */
  screen(x, y) {
    const { width, height } = this.#size();
    const [px, py] = this.#lie().seen(x - this.camera.x, y - this.camera.y);
    return [width / 2 + px, height / 2 + py];
  }

  #lie(scale = this.camera.scale) {
    return new Lie(scale, this.state.behind, this.state.turns);
  }

  // repaint draws the copper anew, as after a change of inks.
  repaint() {
    this.#wanted = {};
    this.#request("whole");
    this.#request("sharp");
    this.#draw();
  }

  // still paints any part of the board into another canvas, once: a close-up.
  /** @param {HTMLCanvasElement} canvas @param {Look} place @returns {Promise<Camera>} */
  still(canvas, { x, y, across }) {
    const dpr = devicePixelRatio || 1;
    const width = Math.max(1, Math.round(canvas.clientWidth * dpr)),
      height = Math.max(1, Math.round(canvas.clientHeight * dpr));
    const camera = { x, y, scale: Math.min(width, height) / across / dpr };
    return new Promise((resolve) => {
      const channel = "still " + (canvas.id || "close");
      this.#stills.set(channel, (image) => {
        Object.assign(canvas, { width, height });
        canvas.getContext("2d")?.drawImage(image, 0, 0);
        image.close();
        resolve(camera);
      });
      this.#post(channel, camera, width, height);
    });
  }

  #size() {
    return { width: this.#canvas.clientWidth || 1, height: this.#canvas.clientHeight || 1 };
  }

  get width() {
    return this.#size().width;
  }

  get height() {
    return this.#size().height;
  }

  /** @param {number} scale */
  #bounded(scale) {
    if (!this.geometry) return scale;
    const { least, most } = bounds(this.geometry, this.#lie(1), this.#size());
    return Math.max(least, Math.min(most, scale));
  }

  /** @returns {Gestures} */
  #gesture() {
    return {
      start: () => { this.#stop(); this.#moving = true; },
      drag: (dx, dy) => this.pan(dx, dy),
      zoom: (factor, x, y) => this.zoom(factor, x, y),
      end: () => { this.#moving = false; this.#rest(); },
      tap: (px, py) => this.#tap(px, py),
    };
  }

  /** @param {number} px @param {number} py */
  #tap(px, py) {
    if (!this.geometry || !this.#on.onTap) return;
    const [x, y] = this.place(px, py);
    const layer = this.state.behind ? this.geometry.table.Layers.length - 1 : 0;
    if (layer < 0) return;
    this.#on.onTap({ layer, x, y, net: this.geometry.netAt(layer, x, y),
      pad: this.geometry.padAt(layer, x, y, 14 / this.camera.scale) });
  }

  /** @param {Camera} camera */
  #moveTo(camera) {
    const b = this.geometry?.table.Box;
    if (!b) return;
    camera.x = Math.max(b[0], Math.min(b[2], camera.x));
    camera.y = Math.max(b[1], Math.min(b[3], camera.y));
    this.camera = camera;
    this.#draw();
    this.#rest();
  }

  #stop() {
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
  }

  // go moves there within a quarter of a second, or at once where the user
  // wants less motion.
  /** @param {Camera} target @param {boolean} smooth */
  #go(target, smooth) {
    this.#stop();
    target.scale = this.#bounded(target.scale);
    if (!smooth || matchMedia("(prefers-reduced-motion: reduce)").matches) {
      this.#moveTo(target);
      return;
    }
    const from = { ...this.camera }, began = performance.now();
    /** @param {number} now */
    const step = (now) => {
      const t = Math.min(1, (now - began) / 250), e = t * t * (3 - 2 * t);
      const scale = from.scale * (target.scale / from.scale) ** e;
      // In step with the scale, so that the path looks straight.
      const s = from.scale === target.scale ? e
        : (1 / scale - 1 / from.scale) / (1 / target.scale - 1 / from.scale);
      this.#moveTo({ x: from.x + s * (target.x - from.x), y: from.y + s * (target.y - from.y), scale });
      this.#frame = t < 1 ? requestAnimationFrame(step) : 0;
    };
    this.#frame = requestAnimationFrame(step);
  }

  #rest() {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      if (!this.#moving && !this.#frame) this.#request("sharp");
      else if (!this.#moving) this.#rest();
    }, restTime);
  }

  #resize() {
    const dpr = devicePixelRatio || 1, { width, height } = this.#size();
    const w = Math.max(1, Math.round(width * dpr)), h = Math.max(1, Math.round(height * dpr));
    if (this.#canvas.width === w && this.#canvas.height === h) return;
    Object.assign(this.#canvas, { width: w, height: h });
    if (!this.geometry) return;
    if (this.#framed) this.#apply(this.#framed, false);
    this.repaint();
  }

  // request asks the worker for a picture: of the whole board, or a sharp one
  // of what is in view and a margin around it.
  /** @param {"whole" | "sharp"} channel */
  #request(channel) {
    if (!this.geometry) return;
    const dpr = devicePixelRatio || 1, { width, height } = this.#size();
    if (channel === "sharp") {
      const seen = width * height * dpr * dpr, grow = Math.max(1, Math.min(1 + 2 * margin,
        Math.sqrt(mostPixels / seen)));
      this.#post(channel, this.camera, Math.round(width * dpr * grow), Math.round(height * dpr * grow));
      return;
    }
    const b = this.geometry.table.Box, long = Math.max(b[2] - b[0], b[3] - b[1]) * 1.1 || 1;
    const pixels = Math.min(1600, Math.max(width, height) * dpr);
    const scale = pixels / long / dpr;
    const [w, h] = this.#lie(1).across(b[2] - b[0], b[3] - b[1]).map((d) =>
      Math.ceil(d * 1.1 * scale * dpr) || 1);
    this.#post(channel, { x: (b[0] + b[2]) / 2, y: (b[1] + b[3]) / 2, scale }, w, h);
  }

  /** @param {string} channel @param {Camera} camera @param {number} width @param {number} height */
  #post(channel, camera, width, height) {
    const dpr = devicePixelRatio || 1, { behind, turns, nets, density } = this.state;
    const id = ++this.#jobs;
    /** @type {PaintJob} */
    const job = { channel, id, width, height, x: camera.x, y: camera.y, scale: camera.scale * dpr, behind,
      turns, dpr, big: dpr * larger(this.#host), nets, density, inks: inksOf(this.#host) };
    if (channel === "sharp" || channel === "whole") this.#wanted[channel] = job;
    if (channel === "sharp") this.#owed();
    this.#worker.postMessage(job);
  }

  /** @param {{ channel: string, id: number, image: ImageBitmap, ready?: boolean }} done */
  #painted(done) {
    if (done.ready) return;
    const { channel, image } = done, still = this.#stills.get(channel);
    if (still) return still(image);
    if (channel !== "whole" && channel !== "sharp") return image.close();
    const job = this.#wanted[channel];
    if (!job || job.id !== done.id) return image.close();
    this.#pictures[channel]?.image.close();
    this.#pictures[channel] = { image, ...job };
    this.#draw();
    this.#owed();
    if (this.#sharp()) for (const resolve of this.#waiting.splice(0)) resolve();
  }

  #sharp() {
    const s = this.#pictures.sharp, c = this.camera, dpr = devicePixelRatio || 1;
    return s && s.id === this.#wanted.sharp?.id && s.x === c.x && s.y === c.y && s.scale === c.scale * dpr &&
      s.behind === this.state.behind && s.turns === this.state.turns;
  }

  #owed() {
    this.#late.owed(this.#pictures.sharp?.id !== this.#wanted.sharp?.id);
  }

  // draw puts the pictures and the live marks on the screen in the next frame.
  #draw() {
    if (!this.#dirty) return;
    this.#dirty = false;
    requestAnimationFrame(() => {
      this.#dirty = true;
      this.#compose();
    });
  }

  #compose() {
    const ctx = this.#ctx, dpr = devicePixelRatio || 1;
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    const { whole, sharp } = this.#pictures;
    const lie = this.#lie(this.camera.scale * dpr), at = this.camera;
    const covers = sharp && blit(ctx, sharp, at, lie, true);
    if (!covers) {
      ctx.fillStyle = inksOf(this.#host).paper;
      ctx.fillRect(0, 0, this.#canvas.width, this.#canvas.height);
      if (whole) blit(ctx, whole, at, lie, false);
      if (sharp) blit(ctx, sharp, at, lie, false);
    }
    ctx.setTransform(dpr, 0, 0, dpr, 0, 0);
    overlay(ctx, this, this.state);
  }
}
