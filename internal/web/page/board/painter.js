// The painter draws the still part of the board (everything that moves with
// the copper) into a bitmap, in a worker of its own so that a gesture never
// waits for it. It draws at any scale what that scale can show: points closer
// together than a third of a pixel are left out, rings out of sight too.

import { decode } from "./geometry.js";

const detail = 0.35; // pixels

let geometry = null;
let simplified = new Map(); // "ring level" → Int32Array

// Where a point of the board falls on the bitmap: scale is pixels per
// nanometre, negative in x for a board seen from behind.
class Frame {
  constructor({ width, height, x, y, scale, behind }) {
    this.width = width;
    this.height = height;
    this.sx = behind ? -scale : scale;
    this.sy = -scale;
    this.dx = width / 2 - x * this.sx;
    this.dy = height / 2 - y * this.sy;
    this.scale = scale;
    const hx = width / 2 / scale, hy = height / 2 / scale;
    this.box = [x - hx, y - hy, x + hx, y + hy];
    this.level = Math.max(0, Math.floor(Math.log2(detail / scale)));
  }

  sees(boxes, ring) {
    const k = 4 * ring, b = this.box;
    return boxes[k] <= b[2] && boxes[k + 2] >= b[0] && boxes[k + 1] <= b[3] && boxes[k + 3] >= b[1];
  }
}

// points gives a ring's points, thinned to 2^level nanometres.
function points(ring, level) {
  const from = geometry.start(ring), to = geometry.ends[ring];
  if (level < 8 || to - from < 6) return geometry.xy.subarray(2 * from, 2 * to);
  const key = ring * 64 + level;
  let out = simplified.get(key);
  if (!out) {
    out = thin(geometry.xy, from, to, 2 ** level);
    simplified.set(key, out);
  }
  return out;
}

// thin leaves out points closer than tol to the last kept one, and points
// within a quarter of tol of the line from there to the next.
function thin(xy, from, to, tol) {
  const kept = [xy[2 * from], xy[2 * from + 1]];
  let px = kept[0], py = kept[1];
  for (let i = from + 1; i < to - 1; i++) {
    const x = xy[2 * i], y = xy[2 * i + 1];
    const nx = xy[2 * i + 2], ny = xy[2 * i + 3];
    if (Math.abs(x - px) + Math.abs(y - py) < tol) continue;
    const vx = nx - px, vy = ny - py, long = Math.hypot(vx, vy);
    const forward = (x - px) * vx + (y - py) * vy;
    if (long > 0 && forward > 0 && forward < long * long && Math.abs((x - px) * vy - (y - py) * vx) < (tol / 4) * long) continue;
    kept.push(x, y);
    px = x;
    py = y;
  }
  kept.push(xy[2 * to - 2], xy[2 * to - 1]);
  return Int32Array.from(kept);
}

function trace(ctx, f, ring) {
  const b = geometry.boxes, k = 4 * ring;
  const w = (b[k + 2] - b[k]) * f.scale, h = (b[k + 3] - b[k + 1]) * f.scale;
  if (w < 1 && h < 1) {
    if (w * h > 0.05) ctx.rect(f.dx + b[k] * f.sx, f.dy + b[k + 1] * f.sy, (b[k + 2] - b[k]) * f.sx, (b[k + 3] - b[k + 1]) * f.sy);
    return;
  }
  const p = points(ring, f.level);
  ctx.moveTo(f.dx + p[0] * f.sx, f.dy + p[1] * f.sy);
  for (let i = 2; i < p.length; i += 2) ctx.lineTo(f.dx + p[i] * f.sx, f.dy + p[i + 1] * f.sy);
  ctx.closePath();
}

function traceSpan(ctx, f, [first, n]) {
  for (let r = first; r < first + n; r++) if (f.sees(geometry.boxes, r)) trace(ctx, f, r);
}

// copper fills the polygons of a layer whose net is wanted.
function copper(ctx, f, layer, wanted, style) {
  const p = geometry.table.Layers[layer].Polygons || [];
  ctx.beginPath();
  for (let i = 0; i < p.length; i += 3) {
    if (!wanted(p[i], p[i + 1]) || !f.sees(geometry.boxes, p[i + 1])) continue;
    traceSpan(ctx, f, [p[i + 1], p[i + 2]]);
  }
  ctx.fillStyle = style;
  ctx.fill("evenodd");
}

// pour tells whether a polygon reaches over much of the board. Behind other
// copper such a one is inked faintly: two of them would hide everything.
function pour(ring) {
  const b = geometry.boxes, k = 4 * ring, t = geometry.table.Box;
  return (b[k + 2] - b[k]) * (b[k + 3] - b[k + 1]) > 0.15 * (t[2] - t[0]) * (t[3] - t[1]);
}

// behindFace inks a net's copper on a layer that another hides.
function behindFace(ctx, f, layer, net, ink) {
  for (const large of [true, false]) {
    ctx.globalAlpha = large ? 0.4 : 1;
    copper(ctx, f, layer, (n, ring) => net.has(n) && pour(ring) === large, ink);
  }
  ctx.globalAlpha = 1;
}

function laminate(ctx, f, inks) {
  ctx.fillStyle = inks.paper;
  ctx.fillRect(0, 0, f.width, f.height);
  ctx.beginPath();
  const [first, n] = geometry.table.Outline;
  if (n > 0) {
    for (let r = first; r < first + n; r++) trace(ctx, f, r);
  } else {
    const b = geometry.table.Box;
    ctx.rect(f.dx + b[0] * f.sx, f.dy + b[1] * f.sy, (b[2] - b[0]) * f.sx, (b[3] - b[1]) * f.sy);
  }
  ctx.fillStyle = inks.laminate;
  ctx.fill("evenodd");
  ctx.strokeStyle = inks.edge;
  ctx.lineWidth = 1.5;
  ctx.stroke();
}

function holes(ctx, f, inks) {
  ctx.fillStyle = inks.hole;
  ctx.strokeStyle = inks.hole;
  ctx.lineCap = "round";
  ctx.beginPath();
  for (const [x, y, tx, ty, d] of geometry.table.Holes || []) {
    const px = f.dx + x * f.sx, py = f.dy + y * f.sy, r = (d / 2) * f.scale;
    if (r < 0.4 || px < -r || py < -r || px > f.width + r || py > f.height + r) continue;
    if (x === tx && y === ty) {
      ctx.moveTo(px + r, py);
      ctx.arc(px, py, r, 0, 2 * Math.PI);
    }
  }
  ctx.fill();
  for (const [x, y, tx, ty, d] of geometry.table.Holes || []) {
    if (x === tx && y === ty) continue;
    ctx.lineWidth = d * f.scale;
    ctx.beginPath();
    ctx.moveTo(f.dx + x * f.sx, f.dy + y * f.sy);
    ctx.lineTo(f.dx + tx * f.sx, f.dy + ty * f.sy);
    ctx.stroke();
  }
}

// bare shows where the copper is free of mask on the side that is seen: there
// a probe can touch.
function bare(ctx, f, inks, side) {
  const open = geometry.table.Mask[side];
  if (!open) return;
  ctx.beginPath();
  traceSpan(ctx, f, open);
  ctx.strokeStyle = inks.bare;
  ctx.lineWidth = Math.min(2, Math.max(0.5, 60e3 * f.scale));
  ctx.stroke();
}

function parts(ctx, f, inks, side, dpr, big) {
  ctx.strokeStyle = inks.part;
  ctx.lineWidth = big;
  ctx.beginPath();
  const shown = [];
  for (const part of geometry.table.Parts || []) {
    if ((part.Bottom ? 1 : 0) !== side || !f.sees(geometry.boxes, part.Body[0])) continue;
    traceSpan(ctx, f, part.Body);
    shown.push(part);
  }
  ctx.stroke();
  ctx.fillStyle = inks.ref;
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  for (const part of shown) label(ctx, f, part, dpr, big);
}

function label(ctx, f, part, dpr, big) {
  const b = geometry.boxes, k = 4 * part.Body[0];
  const w = (b[k + 2] - b[k]) * f.scale, h = (b[k + 3] - b[k + 1]) * f.scale;
  const size = Math.min(18 * big, 0.6 * Math.min(h, (1.6 * w) / part.Ref.length));
  if (size < 7 * dpr) return;
  ctx.font = `${size}px system-ui, sans-serif`;
  ctx.fillText(part.Ref, f.dx + ((b[k] + b[k + 2]) / 2) * f.sx, f.dy + ((b[k + 1] + b[k + 3]) / 2) * f.sy);
}

// heat draws the suspects, the likelier the larger and the denser.
function heat(ctx, f, inks, density, big) {
  if (!density || density.length === 0) return;
  let most = 0;
  for (let i = 2; i < density.length; i += 3) most = Math.max(most, density[i]);
  ctx.fillStyle = inks.heat;
  for (let i = 0; i < density.length; i += 3) {
    const share = density[i + 2] / most;
    if (share < 0.004) continue;
    const x = f.dx + density[i] * f.sx, y = f.dy + density[i + 1] * f.sy;
    const r = Math.max(2.5 * big, Math.min(9 * big, 0.12e6 * f.scale)) * (0.5 + 0.5 * Math.sqrt(share));
    if (x < -r || y < -r || x > f.width + r || y > f.height + r) continue;
    ctx.globalAlpha = 0.12 + 0.8 * share;
    ctx.beginPath();
    ctx.arc(x, y, r, 0, 2 * Math.PI);
    ctx.fill();
  }
  ctx.globalAlpha = 1;
}

function paint(job) {
  const canvas = new OffscreenCanvas(job.width, job.height);
  const ctx = canvas.getContext("2d", { alpha: false });
  const f = new Frame(job), inks = job.inks, last = geometry.table.Layers.length - 1;
  const side = job.behind ? 1 : 0, face = job.behind ? last : 0;
  const of = [new Set(job.nets[0]), new Set(job.nets[1])];
  const chosen = (n) => of[0].has(n) || of[1].has(n);
  laminate(ctx, f, inks);
  if (last >= 0) {
    copper(ctx, f, face, (n) => !chosen(n), inks.copper);
    for (const g of [1, 0]) {
      for (let l = 0; l <= last; l++) if (l !== face) behindFace(ctx, f, l, of[g], inks.netBehind[g]);
    }
    for (const g of [1, 0]) copper(ctx, f, face, (n) => of[g].has(n), inks.net[g]);
  }
  bare(ctx, f, inks, side);
  holes(ctx, f, inks);
  parts(ctx, f, inks, side, job.dpr, job.big);
  heat(ctx, f, inks, job.density, job.big);
  return canvas.transferToImageBitmap();
}

// Jobs wait in a queue by their channel: a newer job of a channel replaces
// one that has not begun.
const waiting = new Map();
let busy = false;

function work() {
  const next = waiting.entries().next();
  if (next.done) {
    busy = false;
    return;
  }
  const [channel, job] = next.value;
  waiting.delete(channel);
  if (simplified.size > 200000) simplified = new Map();
  const image = paint(job);
  postMessage({ channel, id: job.id, image }, [image]);
  setTimeout(work);
}

onmessage = ({ data }) => {
  if (data.board) {
    geometry = decode(data.board);
    simplified = new Map();
    postMessage({ ready: true });
    return;
  }
  if (!geometry) return;
  waiting.delete(data.channel);
  waiting.set(data.channel, data);
  if (!busy) {
    busy = true;
    setTimeout(work);
  }
};
