// BoardCanvas shows one board as it lies in front of the user: turned over, it
// mirrors. The copper is a picture that the painter's worker draws; while a
// gesture lasts that picture is moved and stretched, and it is drawn sharp
// again at rest. What must stay crisp and live (the places to touch, the ring
// of the answer) is drawn over it in every frame.
//
//   const canvas = new BoardCanvas(host, { onTap(tap) {…} });
//   await canvas.load(arrayBuffer);          // from the server's /drawing
//   canvas.show({ behind, nets: [[…], […]], density, marks, ring });
//   canvas.look({ x, y, across });           // nm, nm, nm; or canvas.fit()
//
// A tap tells { layer, x, y, net, pad }: nanometres in the table's frame.

import { decode } from "./geometry.js";
import { gestures } from "./gesture.js";
import { overlay } from "./overlay.js";

/** @import { Geometry } from "./geometry.js" */
/** @typedef {"whole" | "sharp"} Kind */
/** @typedef {PaintJob & { image: ImageBitmap }} Picture */

const margin = 0.25; // of the view, drawn around it so that a drag finds copper
const restTime = 50; // ms without a move before it is drawn sharp
const closest = 2e-4; // CSS pixels per nanometre: 5 µm are one pixel

// larger is by how much words and lines grow on a large screen.
/** @param {Element} element */
export const larger = (element) =>
  Math.max(1, parseFloat(getComputedStyle(element.ownerDocument.documentElement).fontSize) / 18);

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
  #dirty = true;
  #ended = new AbortController();

  /** @param {HTMLElement} host @param {{ onTap?: (tap: Tap) => void }} on */
  constructor(host, on = {}) {
    this.#host = host;
    this.#on = on;
    /** @type {Geometry | null} */
    this.geometry = null;
    this.camera = { x: 0, y: 0, scale: 1e-5 }; // nm, nm, CSS pixels per nm
    /** @type {BoardState} */
    this.state = { behind: false, nets: [[], []], density: null, marks: [], ring: null };
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
    this.#stop();
    this.#worker.terminate();
  }

  // drawing is the table of the board that was loaded.
  get drawing() {
    if (!this.geometry) throw new Error("no board is loaded");
    return this.geometry.table;
  }

  // load takes the packed drawing of a board; it resolves when the board is on
  // the screen for the first time.
  /** @param {ArrayBuffer} buffer */
  async load(buffer) {
    const copy = buffer.slice(0);
    this.geometry = decode(buffer);
    this.#pictures = {};
    this.#worker.postMessage({ board: copy }, [copy]);
    this.#resize();
    this.fit(false);
    return this.settled();
  }

  // show changes what is inked.
  /** @param {Partial<BoardState>} change */
  show(change) {
    const before = this.state;
    this.state = { ...before, ...change };
    if ("behind" in change && change.behind !== before.behind) this.#pictures = {};
    if ("behind" in change || "nets" in change || "density" in change) this.repaint();
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
    const b = this.geometry.table.Box;
    const { width, height } = this.#size();
    const scale = 0.92 * Math.min(width / (b[2] - b[0] || 1), height / (b[3] - b[1] || 1));
    this.#go({ x: (b[0] + b[2]) / 2, y: (b[1] + b[3]) / 2, scale }, smooth);
  }

  // look goes to a place so that "across" nanometres fill the shorter side.
  /** @param {Look} place */
  look({ x, y, across }, smooth = true) {
    const { width, height } = this.#size();
    this.#go({ x, y, scale: Math.min(width, height) / across }, smooth);
  }

  // pan and zoom move by CSS pixels and by a factor about a point of the view.
  /** @param {number} dx @param {number} dy */
  pan(dx, dy) {
    const c = this.camera, sx = this.state.behind ? -1 : 1;
    this.#moveTo({ ...c, x: c.x - (sx * dx) / c.scale, y: c.y + dy / c.scale });
  }

  /** @param {number} factor @param {number} [px] @param {number} [py] */
  zoom(factor, px, py) {
    const { width, height } = this.#size();
    const [x, y] = this.place(px ?? width / 2, py ?? height / 2);
    const scale = this.#bounded(this.camera.scale * factor);
    const by = this.camera.scale / scale;
    this.#moveTo({ x: x + (this.camera.x - x) * by, y: y + (this.camera.y - y) * by, scale });
  }

  // place gives the board's point under a pixel of the view; screen the pixel
  // over a point of the board.
  /** @param {number} px @param {number} py @returns {[number, number]} */
  place(px, py) {
    const { width, height } = this.#size(), c = this.camera;
    const sx = this.state.behind ? -c.scale : c.scale;
    return [c.x + (px - width / 2) / sx, c.y - (py - height / 2) / c.scale];
  }

  /** @param {number} x @param {number} y @returns {[number, number]} */
  screen(x, y) {
    const { width, height } = this.#size(), c = this.camera;
    const sx = this.state.behind ? -c.scale : c.scale;
    return [width / 2 + (x - c.x) * sx, height / 2 - (y - c.y) * c.scale];
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

  /** @param {number} scale */
  #bounded(scale) {
    const b = this.drawing.Box, { width, height } = this.#size();
    const least = 0.5 * Math.min(width / (b[2] - b[0] || 1), height / (b[3] - b[1] || 1));
    return Math.max(least, Math.min(closest * (devicePixelRatio || 1) * 5, scale));
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
    this.repaint();
  }

  // request asks the worker for a picture: of the whole board, or a sharp one
  // of what is in view and a margin around it.
  /** @param {"whole" | "sharp"} channel */
  #request(channel) {
    if (!this.geometry) return;
    const dpr = devicePixelRatio || 1, { width, height } = this.#size();
    if (channel === "sharp") {
      const grow = 1 + 2 * margin;
      this.#post(channel, this.camera, Math.round(width * dpr * grow), Math.round(height * dpr * grow));
      return;
    }
    const b = this.geometry.table.Box, long = Math.max(b[2] - b[0], b[3] - b[1]) * 1.1 || 1;
    const pixels = Math.min(1600, Math.max(width, height) * dpr);
    const scale = pixels / long / dpr;
    this.#post(channel, { x: (b[0] + b[2]) / 2, y: (b[1] + b[3]) / 2, scale },
      Math.ceil((b[2] - b[0]) * 1.1 * scale * dpr) || 1, Math.ceil((b[3] - b[1]) * 1.1 * scale * dpr) || 1);
  }

  /** @param {string} channel @param {Camera} camera @param {number} width @param {number} height */
  #post(channel, camera, width, height) {
    const dpr = devicePixelRatio || 1, { behind, nets, density } = this.state;
    const id = ++this.#jobs;
    /** @type {PaintJob} */
    const job = { channel, id, width, height, x: camera.x, y: camera.y, scale: camera.scale * dpr, behind,
      dpr, big: dpr * larger(this.#host), nets, density, inks: this.#inks() };
    if (channel === "sharp" || channel === "whole") this.#wanted[channel] = job;
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
    if (this.#sharp()) for (const resolve of this.#waiting.splice(0)) resolve();
  }

  #sharp() {
    const s = this.#pictures.sharp, c = this.camera, dpr = devicePixelRatio || 1;
    return s && s.id === this.#wanted.sharp?.id && s.x === c.x && s.y === c.y && s.scale === c.scale * dpr &&
      s.behind === this.state.behind;
  }

  /** @returns {Inks} */
  #inks() {
    const of = getComputedStyle(this.#host);
    /** @param {string} name */
    const ink = (name) => of.getPropertyValue("--board-" + name).trim() || "#888";
    return {
      paper: ink("paper"), laminate: ink("laminate"), edge: ink("edge"), copper: ink("copper"),
      net: [ink("red-net"), ink("black-net")], netBehind: [ink("red-net-behind"), ink("black-net-behind")],
      hole: ink("hole"), bare: ink("bare"), part: ink("part"), ref: ink("ref"), heat: ink("heat"),
    };
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
    const covers = sharp && this.#blit(sharp, true);
    if (!covers) {
      ctx.fillStyle = this.#inks().paper;
      ctx.fillRect(0, 0, this.#canvas.width, this.#canvas.height);
      if (whole) this.#blit(whole, false);
      if (sharp) this.#blit(sharp, false);
    }
    ctx.setTransform(dpr, 0, 0, dpr, 0, 0);
    overlay(ctx, this, this.state);
  }

  // blit draws a picture where the camera now sees it, and tells whether it
  // covers the view. With onlyIfCovers it is left out where it does not.
  /** @param {Picture} p @param {boolean} onlyIfCovers */
  #blit(p, onlyIfCovers) {
    const dpr = devicePixelRatio || 1, c = this.camera, k = (c.scale * dpr) / p.scale;
    const sx = p.behind ? -1 : 1;
    const w = p.width * k, h = p.height * k;
    let x = this.#canvas.width / 2 + sx * (p.x - c.x) * c.scale * dpr - w / 2;
    let y = this.#canvas.height / 2 - (p.y - c.y) * c.scale * dpr - h / 2;
    const covers = x <= 0 && y <= 0 && x + w >= this.#canvas.width && y + h >= this.#canvas.height;
    if (onlyIfCovers && !covers) return false;
    if (Math.abs(k - 1) < 1e-9) [x, y] = [Math.round(x), Math.round(y)];
    this.#ctx.imageSmoothingEnabled = Math.abs(k - 1) > 1e-9;
    this.#ctx.imageSmoothingQuality = "low";
    this.#ctx.drawImage(p.image, x, y, w, h);
    return covers;
  }
}
