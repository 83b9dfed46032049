// Draws the still part of the board: everything that moves with the copper. It
// draws at any scale what that scale can show: points closer together than a
// third of a pixel are left out, rings out of sight too.

import { Lie } from "./lie.js";

/** @import { Geometry } from "./geometry.js" */

export const detail = 0.35; // pixels

const mostThinned = 200_000; // rings kept thinned
const largePour = 0.15; // of the board's box
const leastHole = 0.4; // pixels of radius
const leastShare = 0.004; // of the likeliest suspect, to be seen at all
export const leastLabel = 7; // CSS pixels a letter must be high

// Board is a geometry with its rings as they were thinned so far.
export class Board {
  /** @type {Map<number, Int32Array>} */
  #thinned = new Map();

  /** @param {Geometry} geometry */
  constructor(geometry) {
    this.geometry = geometry;
  }

  // points gives a ring's points, thinned to 2^level nanometres.
  /** @param {number} ring @param {number} level */
  points(ring, level) {
    const { xy, ends } = this.geometry, from = this.geometry.start(ring), to = ends[ring];
    if (level < 8 || to - from < 6) return xy.subarray(2 * from, 2 * to);
    const key = ring * 64 + level;
    let out = this.#thinned.get(key);
    if (!out) {
      out = thin(xy, from, to, 2 ** level);
      if (this.#thinned.size >= mostThinned) this.#thinned.clear();
      this.#thinned.set(key, out);
    }
    return out;
  }
}

// thin leaves out points closer than tol to the last kept one, and points that
// lie, with all left out before them, within a quarter of tol of the line from
// there to the next: the cone of directions that pass all of them so near.
/** @param {Int32Array} xy @param {number} from @param {number} to @param {number} tol */
export function thin(xy, from, to, tol) {
  const kept = [xy[2 * from], xy[2 * from + 1]];
  let px = kept[0], py = kept[1], axis = NaN, low = 0, high = 0;
  for (let i = from + 1; i < to - 1; i++) {
    const x = xy[2 * i] - px, y = xy[2 * i + 1] - py, far = Math.hypot(x, y);
    if (Math.abs(x) + Math.abs(y) < tol) continue;
    if (Number.isNaN(axis)) [axis, low, high] = [Math.atan2(y, x), -Math.PI, Math.PI];
    const at = turn(Math.atan2(y, x) - axis), wide = Math.asin(Math.min(1, tol / 4 / far));
    low = Math.max(low, at - wide);
    high = Math.min(high, at + wide);
    const nx = xy[2 * i + 2] - px, ny = xy[2 * i + 3] - py, next = turn(Math.atan2(ny, nx) - axis);
    if (low < next && next < high && Math.hypot(nx, ny) > far) continue;
    kept.push(x + px, y + py);
    [px, py, axis] = [x + px, y + py, NaN];
  }
  kept.push(xy[2 * to - 2], xy[2 * to - 1]);
  return Int32Array.from(kept);
}

// turn brings the difference of two angles to half a turn either way.
/** @param {number} angle */
const turn = (angle) => angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));

// Frame is where a point of the board falls on the bitmap.
export class Frame {
  /**
   * @param {Board} board
   * @param {Pick<PaintJob, "width" | "height" | "x" | "y" | "scale" | "behind" | "turns">} job
   */
  constructor(board, { width, height, x, y, scale, behind, turns }) {
    this.board = board;
    this.geometry = board.geometry;
    this.width = width;
    this.height = height;
    const lie = new Lie(scale, behind, turns);
    this.a = lie.a;
    this.b = lie.b;
    this.c = lie.c;
    this.d = lie.d;
    const [ox, oy] = lie.seen(x, y);
    this.dx = width / 2 - ox;
    this.dy = height / 2 - oy;
    this.scale = scale;
    const [hx, hy] = lie.across(width / 2 / scale, height / 2 / scale);
    this.box = [x - hx, y - hy, x + hx, y + hy];
    this.level = Math.max(0, Math.floor(Math.log2(detail / scale)));
  }

  // sees tells whether a ring's box reaches into the frame.
  /** @param {number} ring */
  sees(ring) {
    const k = 4 * ring, of = this.geometry.boxes, b = this.box;
    return of[k] <= b[2] && of[k + 2] >= b[0] && of[k + 1] <= b[3] && of[k + 3] >= b[1];
  }

  // at gives the pixel of a point of the board.
  /** @param {number} x @param {number} y @returns {[number, number]} */
  at(x, y) {
    return [this.dx + x * this.a + y * this.c, this.dy + x * this.b + y * this.d];
  }

  // inside tells whether anything within r pixels of a pixel is on the bitmap.
  /** @param {number} px @param {number} py @param {number} r */
  inside(px, py, r) {
    return px >= -r && py >= -r && px <= this.width + r && py <= this.height + r;
  }
}

/** @typedef {OffscreenCanvasRenderingContext2D} Context */

/** @param {Context} ctx @param {Frame} f @param {number} ring */
function trace(ctx, f, ring) {
  const b = f.geometry.boxes, k = 4 * ring;
  const w = (b[k + 2] - b[k]) * f.scale, h = (b[k + 3] - b[k + 1]) * f.scale;
  if (w < 1 && h < 1) {
    if (w * h > 0.05) box(ctx, f, b[k], b[k + 1], b[k + 2], b[k + 3]);
    return;
  }
  const p = f.board.points(ring, f.level), { a, b: along, c, d, dx, dy } = f;
  ctx.moveTo(...f.at(p[0], p[1]));
  for (let i = 2; i < p.length; i += 2) {
    ctx.lineTo(dx + p[i] * a + p[i + 1] * c, dy + p[i] * along + p[i + 1] * d);
  }
  ctx.closePath();
}

// box traces an upright box of the board.
/**
 * @param {Context} ctx @param {Frame} f @param {number} x0 @param {number} y0
 * @param {number} x1 @param {number} y1
 */
function box(ctx, f, x0, y0, x1, y1) {
  const [px, py] = f.at(x0, y0), [qx, qy] = f.at(x1, y1);
  ctx.rect(px, py, qx - px, qy - py);
}

/** @param {Context} ctx @param {Frame} f @param {number[]} span */
function traceSpan(ctx, f, [first, n]) {
  for (let r = first; r < first + n; r++) if (f.sees(r)) trace(ctx, f, r);
}

// copper fills the polygons of a layer whose net is wanted.
/**
 * @param {Context} ctx @param {Frame} f @param {number} layer
 * @param {(net: number, ring: number) => boolean} wanted @param {string} style
 */
function copper(ctx, f, layer, wanted, style) {
  const p = f.geometry.table.Layers[layer].Polygons || [];
  ctx.beginPath();
  for (let i = 0; i < p.length; i += 3) {
    if (!wanted(p[i], p[i + 1]) || !f.sees(p[i + 1])) continue;
    traceSpan(ctx, f, [p[i + 1], p[i + 2]]);
  }
  ctx.fillStyle = style;
  ctx.fill("evenodd");
}

// pour tells whether a polygon reaches over much of the board. Behind other
// copper such a one is drawn faintly: two of them would hide everything.
/** @param {Geometry} geometry @param {number} ring */
export function pour(geometry, ring) {
  const b = geometry.boxes, k = 4 * ring, t = geometry.table.Box;
  return (b[k + 2] - b[k]) * (b[k + 3] - b[k + 1]) > largePour * (t[2] - t[0]) * (t[3] - t[1]);
}

// receding draws a net whose pours lie back: on a layer that another hides, and
// the black tip's net on the side that is seen, so that tips and the other net
// stand out.
/**
 * @param {Context} ctx @param {Frame} f @param {number} layer
 * @param {Set<number>} net @param {string} ink
 */
function receding(ctx, f, layer, net, ink) {
  for (const large of [true, false]) {
    ctx.globalAlpha = large ? 0.45 : 1;
    copper(ctx, f, layer, (n, ring) => net.has(n) && pour(f.geometry, ring) === large, ink);
  }
  ctx.globalAlpha = 1;
}

/** @param {Context} ctx @param {Frame} f @param {Inks} inks */
function laminate(ctx, f, inks) {
  ctx.fillStyle = inks.paper;
  ctx.fillRect(0, 0, f.width, f.height);
  ctx.beginPath();
  const [first, n] = f.geometry.table.Outline;
  if (n > 0) {
    for (let r = first; r < first + n; r++) trace(ctx, f, r);
  } else {
    const b = f.geometry.table.Box;
    box(ctx, f, b[0], b[1], b[2], b[3]);
  }
  ctx.fillStyle = inks.laminate;
  ctx.fill("evenodd");
  ctx.strokeStyle = inks.edge;
  ctx.lineWidth = 1.5;
  ctx.stroke();
}

/** @param {Context} ctx @param {Frame} f @param {Inks} inks */
function holes(ctx, f, inks) {
  const all = f.geometry.table.Holes || [];
  ctx.fillStyle = inks.hole;
  ctx.strokeStyle = inks.hole;
  ctx.lineCap = "round";
  ctx.beginPath();
  for (const [x, y, tx, ty, d] of all) {
    const [px, py] = f.at(x, y), r = (d / 2) * f.scale;
    if (r < leastHole || !f.inside(px, py, r) || x !== tx || y !== ty) continue;
    ctx.moveTo(px + r, py);
    ctx.arc(px, py, r, 0, 2 * Math.PI);
  }
  ctx.fill();
  for (const [x, y, tx, ty, d] of all) {
    if (x === tx && y === ty) continue;
    ctx.lineWidth = d * f.scale;
    ctx.beginPath();
    ctx.moveTo(...f.at(x, y));
    ctx.lineTo(...f.at(tx, ty));
    ctx.stroke();
  }
}

// bare shows where the copper is free of mask on the side that is seen: there
// a probe can touch.
/** @param {Context} ctx @param {Frame} f @param {Inks} inks @param {number} side */
function bare(ctx, f, inks, side) {
  const open = f.geometry.table.Mask[side];
  if (!open) return;
  ctx.beginPath();
  traceSpan(ctx, f, open);
  ctx.strokeStyle = inks.bare;
  ctx.lineWidth = Math.min(2, Math.max(0.5, 60e3 * f.scale));
  ctx.stroke();
}

// parts draws the bodies on a side and gives those in sight.
/** @param {Context} ctx @param {Frame} f @param {PaintJob} job @param {number} side */
function parts(ctx, f, { inks, big }, side) {
  ctx.strokeStyle = inks.part;
  ctx.lineWidth = big;
  ctx.beginPath();
  const visible = [];
  for (const part of f.geometry.table.Parts || []) {
    if ((part.Bottom ? 1 : 0) !== side || !f.sees(part.Body[0])) continue;
    traceSpan(ctx, f, part.Body);
    visible.push(part);
  }
  ctx.stroke();
  return visible;
}

// designators writes the parts' references, over all else; a rim keeps them legible
// on a suspect's dot.
/** @param {Context} ctx @param {Frame} f @param {PaintJob} job @param {DrawingPart[]} visible */
function designators(ctx, f, { inks, dpr, big, turns }, visible) {
  ctx.fillStyle = inks.ref;
  ctx.strokeStyle = inks.laminate;
  ctx.lineJoin = "round";
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  for (const part of visible) {
    const k = 4 * part.Body[0], b = f.geometry.boxes.subarray(k, k + 4);
    const size = letters(part.Ref, b, f.scale, turns, big);
    if (size < leastLabel * dpr) continue;
    ctx.font = `${size}px system-ui, sans-serif`;
    const at = f.at((b[0] + b[2]) / 2, (b[1] + b[3]) / 2);
    ctx.lineWidth = size / 5;
    ctx.strokeText(part.Ref, ...at);
    ctx.fillText(part.Ref, ...at);
  }
}

// letters is how high a part's reference is written in a body with a box, in
// pixels of the scale.
/**
 * @param {string} ref @param {ArrayLike<number>} b @param {number} scale @param {number} turns
 * @param {number} big
 */
export function letters(ref, b, scale, turns, big) {
  const [w, h] = new Lie(scale, false, turns).across((b[2] - b[0]) * scale, (b[3] - b[1]) * scale);
  return Math.min(18 * big, 0.6 * Math.min(h, (1.6 * w) / ref.length));
}

// heat draws the suspects, the likelier the larger and the denser.
/** @param {Context} ctx @param {Frame} f @param {PaintJob} job */
function heat(ctx, f, { inks, density, big }) {
  if (!density || density.length === 0) return;
  let most = 0;
  for (let i = 2; i < density.length; i += 3) most = Math.max(most, density[i]);
  ctx.fillStyle = inks.heat;
  for (let i = 0; i < density.length; i += 3) {
    const share = density[i + 2] / most;
    if (share < leastShare) continue;
    const [x, y] = f.at(density[i], density[i + 1]);
    const r = Math.max(2.5 * big, Math.min(9 * big, 0.12e6 * f.scale)) * (0.5 + 0.5 * Math.sqrt(share));
    if (!f.inside(x, y, r)) continue;
    ctx.globalAlpha = 0.12 + 0.8 * share;
    ctx.beginPath();
    ctx.arc(x, y, r, 0, 2 * Math.PI);
    ctx.fill();
  }
  ctx.globalAlpha = 1;
}

// paint draws a board as a job asks.
/** @param {Context} ctx @param {Board} board @param {PaintJob} job */
export function paint(ctx, board, job) {
  const f = new Frame(board, job), inks = job.inks, last = board.geometry.table.Layers.length - 1;
  const side = job.behind ? 1 : 0, face = job.behind ? last : 0;
  const of = [new Set(job.nets[0]), new Set(job.nets[1])];
  laminate(ctx, f, inks);
  if (last >= 0) {
    copper(ctx, f, face, (n) => !of[0].has(n) && !of[1].has(n), inks.copper);
    for (const g of [1, 0]) {
      for (let l = 0; l <= last; l++) if (l !== face) receding(ctx, f, l, of[g], inks.netBehind[g]);
    }
    receding(ctx, f, face, of[1], inks.net[1]);
    copper(ctx, f, face, (n) => of[0].has(n), inks.net[0]);
  }
  heat(ctx, f, job); // under what a tip goes by: pads, bodies and references
  bare(ctx, f, inks, side);
  holes(ctx, f, inks);
  designators(ctx, f, job, parts(ctx, f, job, side));
}
