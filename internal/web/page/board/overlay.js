// The overlay is what stays crisp in every frame: the ring of the answer, the
// places touched already (small, with their numbers) and the places to touch
// next. Such a place is left bare: a fine loupe stands around it, and a flag
// beside it says in words what goes there. A tip's loupe is round and a clip's
// square; red's sign is filled and black's open, so that all four differ without
// colour. What lies on the other side is dashed, and its flag says so.

import { larger } from "./inks.js";
import { clear, inView, lineTo, room } from "./room.js";
import { partBoxes } from "./refs.js";

/** @import { Box } from "./room.js" */
/**
 * @typedef {Record<"heat" | "red" | "black" | "rim" | "paper" | "words" | "ref", string> & { k: number }}
 *   OverlayInks
 */

const loupe = 9; // CSS pixels from a place to its loupe
const sign = 8; // and half of a flag's sign
const dot = 6; // and half of the mark of a place that was read
const untouchable = 500; // what covering a place to touch costs
const ringCost = 30; // the ring is wide, and its middle may be covered
const narrow = 500; // CSS pixels: on a telephone flags are smaller

// overlay draws over a view; lengths are nanometres.
/** @param {CanvasRenderingContext2D} ctx @param {Surface} view @param {OverlayState} state */
export function overlay(ctx, view, state) {
  const inks = overlayInks(ctx.canvas), k = inks.k, dpr = devicePixelRatio || 1;
  const seen = { width: ctx.canvas.width / dpr, height: ctx.canvas.height / dpr };
  /** @param {Mark} m */
  const here = (m) => !m.side || m.side === "both" || (m.side === "bottom") === Boolean(state.behind);
  const targets = state.marks.filter((m) => m.large);
  if (state.ring) drawRing(ctx, view, state.ring, inks);
  const boxes = targets.map((m) => around(view.screen(m.x, m.y), (loupe + 4) * k, untouchable));
  const read = state.marks.filter((m) => !m.large && here(m)).map((m) => ({ m, at: view.screen(m.x, m.y) }))
    .filter(({ at }) => inView(seen, at) && !boxes.some((b) => holds(b, at)));
  const dots = read.map(({ at }) => around(at, dot * k, 80));
  const refs = partBoxes(view, state, k, [...boxes, ...dots]);
  boxes.push(...refs.boxes, ...dots);
  if (state.ring) {
    boxes.push(around(view.screen(state.ring.x, state.ring.y), ringRadius(view, state.ring, k), ringCost));
  }
  for (const m of targets) drawLoupe(ctx, view.screen(m.x, m.y), m, here(m), inks);
  const flags = targets.map((m) => flag(ctx, seen, view.screen(m.x, m.y), m, here(m), inks, boxes));
  for (const name of refs.tags) tag(ctx, seen, name.at, name.ref, name.reach, inks, boxes, name.asked);
  for (const pin of state.pins || []) pinNumber(ctx, seen, view.screen(pin.x, pin.y), pin, inks, boxes);
  for (const { m, at } of read) touched(ctx, seen, at, m, inks, boxes);
  for (const draw of flags) draw();
}

/** @param {HTMLCanvasElement} canvas @returns {OverlayInks} */
function overlayInks(canvas) {
  const of = getComputedStyle(canvas);
  /** @param {string} name */
  const ink = (name) => of.getPropertyValue("--board-" + name).trim() || "#000";
  return { k: larger(canvas), heat: ink("heat"), red: ink("red-lead"), black: ink("black-lead"),
    rim: ink("lead-rim"), paper: ink("tag"), words: ink("words"), ref: ink("ref") };
}

/** @param {[number, number]} at @param {number} r @param {number} cost @returns {Box} */
const around = ([x, y], r, cost) => ({ x: x - r, y: y - r, w: 2 * r, h: 2 * r, cost });

/** @param {Box} b @param {[number, number]} at */
const holds = (b, [x, y]) => x >= b.x && x <= b.x + b.w && y >= b.y && y <= b.y + b.h;

/** @param {Surface} view @param {Ring} ring @param {number} k */
const ringRadius = (view, ring, k) => Math.max(9 * k, ring.radius * view.camera.scale);

/**
 * @param {CanvasRenderingContext2D} ctx @param {Surface} view
 * @param {Ring} ring @param {OverlayInks} inks
 */
function drawRing(ctx, view, ring, inks) {
  ctx.beginPath();
  ctx.arc(...view.screen(ring.x, ring.y), ringRadius(view, ring, inks.k), 0, 2 * Math.PI);
  ctx.lineWidth = 6 * inks.k;
  ctx.strokeStyle = inks.paper;
  ctx.stroke();
  ctx.lineWidth = 3 * inks.k;
  ctx.strokeStyle = inks.heat;
  ctx.stroke();
}

// outline traces a tip's circle or a clip's square.
/**
 * @param {CanvasRenderingContext2D} ctx @param {number} x @param {number} y @param {number} r
 * @param {Mark} m
 */
function outline(ctx, x, y, r, m) {
  ctx.beginPath();
  if (m.clip) ctx.rect(x - r, y - r, 2 * r, 2 * r);
  else ctx.arc(x, y, r, 0, 2 * Math.PI);
}

// drawLoupe rings a place and leaves it bare.
/**
 * @param {CanvasRenderingContext2D} ctx @param {[number, number]} at @param {Mark} m
 * @param {boolean} here @param {OverlayInks} inks
 */
function drawLoupe(ctx, [x, y], m, here, inks) {
  const k = inks.k;
  outline(ctx, x, y, loupe * k, m);
  ctx.setLineDash(here ? [] : [4 * k, 5 * k]);
  if (here) {
    ctx.lineWidth = 6.5 * k;
    ctx.strokeStyle = inks.rim;
    ctx.stroke();
  }
  ctx.lineWidth = (here ? 3.5 : 2) * k;
  ctx.strokeStyle = m.lead === "red" ? inks.red : here ? inks.black : inks.words;
  ctx.stroke();
  ctx.setLineDash([]);
}

// flag finds room for what is said of a place, draws the line to it, and gives
// what draws the flag itself over all lines.
/**
 * @param {CanvasRenderingContext2D} ctx @param {{ width: number, height: number }} seen
 * @param {[number, number]} at @param {Mark} m @param {boolean} here @param {OverlayInks} inks
 * @param {Box[]} boxes
 */
function flag(ctx, seen, at, m, here, inks, boxes) {
  const k = inks.k * (seen.width < narrow ? 0.85 : 1), big = `700 ${18 * k}px system-ui, sans-serif`,
    fine = `500 ${13 * k}px system-ui, sans-serif`;
  const note = here ? m.note || "" : "other side: turn over", text = m.text || "";
  ctx.font = big;
  const wide = ctx.measureText(text).width;
  ctx.font = fine;
  const w = Math.max(wide, note ? ctx.measureText(note).width : 0) + (4 * sign + 4) * k;
  const box = room(seen, ...at, loupe * k, w, (note ? 46 : 32) * k, boxes);
  boxes.push({ ...box, cost: 300 });
  ctx.lineWidth = 2 * k;
  ctx.strokeStyle = m.lead === "red" ? inks.red : inks.words;
  lineTo(ctx, at, loupe * k, box);
  return () => {
    plate(ctx, box, inks.paper, m.lead === "red" ? inks.red : inks.words, 5);
    drawSign(ctx, box.x + (sign + 6) * k, box.y + box.h / 2, m, { ...inks, k });
    ctx.fillStyle = m.lead === "red" ? inks.red : inks.words;
    ctx.textAlign = "left";
    ctx.textBaseline = "middle";
    ctx.font = big;
    ctx.fillText(text, box.x + (3 * sign + 4) * k, box.y + (note ? 16 : 17) * k);
    ctx.font = fine;
    ctx.fillStyle = inks.words;
    if (note) ctx.fillText(note, box.x + (3 * sign + 4) * k, box.y + 34 * k);
  };
}

// drawSign is the sign of a lead: filled for red, open for black.
/**
 * @param {CanvasRenderingContext2D} ctx @param {number} x @param {number} y @param {Mark} m
 * @param {OverlayInks} inks
 */
function drawSign(ctx, x, y, m, inks) {
  const k = inks.k, red = m.lead === "red";
  outline(ctx, x, y, (sign - (red ? 0 : 1.5)) * k, m);
  if (red) {
    ctx.fillStyle = inks.red;
    ctx.fill();
    return;
  }
  ctx.lineWidth = 6 * k;
  ctx.strokeStyle = inks.rim;
  ctx.stroke();
  ctx.lineWidth = 3.5 * k;
  ctx.strokeStyle = inks.black;
  ctx.stroke();
}

/**
 * @param {CanvasRenderingContext2D} ctx @param {Box} b @param {string} fill @param {string} edge
 * @param {number} r
 */
function plate(ctx, b, fill, edge, r) {
  ctx.beginPath();
  ctx.roundRect(b.x, b.y, b.w, b.h, r);
  ctx.fillStyle = fill;
  ctx.fill();
  ctx.lineWidth = 1;
  ctx.strokeStyle = edge;
  ctx.stroke();
}

// tag writes a few letters on a small plate beside a place; one that is not asked for
// is left out where it would cover something.
/**
 * @param {CanvasRenderingContext2D} ctx @param {{ width: number, height: number }} seen
 * @param {[number, number]} at @param {string} text @param {number} reach @param {OverlayInks} inks
 * @param {Box[]} boxes @param {boolean} asked
 */
function tag(ctx, seen, at, text, reach, inks, boxes, asked) {
  const k = inks.k;
  ctx.font = `600 ${13 * k}px system-ui, sans-serif`;
  const b = room(seen, ...at, reach, ctx.measureText(text).width + 8 * k, 18 * k, boxes);
  if (!asked && !clear(b, boxes.filter((o) => o.cost !== ringCost))) return;
  boxes.push({ ...b, cost: 100 });
  plate(ctx, b, inks.paper, inks.ref, 4);
  ctx.fillStyle = inks.words;
  ctx.textAlign = "left";
  ctx.textBaseline = "middle";
  ctx.fillText(text, b.x + 4 * k, b.y + b.h / 2 + 1);
}

// pinNumber writes a pin's number on its pad, where it covers nothing, and pin 1
// beside it in any case.
/**
 * @param {CanvasRenderingContext2D} ctx @param {{ width: number, height: number }} seen
 * @param {[number, number]} at @param {PinMark} pin @param {OverlayInks} inks @param {Box[]} boxes
 */
function pinNumber(ctx, seen, at, pin, inks, boxes) {
  const k = inks.k;
  if (!inView(seen, at)) return;
  if (pin.first) return tag(ctx, seen, at, "pin " + pin.text, 4 * k, inks, boxes, seen.width >= narrow);
  ctx.font = `500 ${11 * k}px system-ui, sans-serif`;
  const w = ctx.measureText(pin.text).width;
  const b = { x: at[0] - w / 2, y: at[1] - 6 * k, w, h: 12 * k, cost: 60 };
  if (!clear(b, boxes)) return;
  boxes.push(b);
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  ctx.lineWidth = 3 * k;
  ctx.strokeStyle = inks.paper;
  ctx.strokeText(pin.text, ...at);
  ctx.fillStyle = inks.words;
  ctx.fillText(pin.text, ...at);
}

// touched marks a place that was read, with the number of the reading.
/**
 * @param {CanvasRenderingContext2D} ctx @param {{ width: number, height: number }} seen
 * @param {[number, number]} at @param {Mark} m @param {OverlayInks} inks @param {Box[]} boxes
 */
function touched(ctx, seen, at, m, inks, boxes) {
  const k = inks.k, red = m.lead === "red";
  ctx.beginPath();
  ctx.arc(...at, 4 * k, 0, 2 * Math.PI);
  ctx.lineWidth = 4 * k;
  ctx.strokeStyle = inks.rim;
  ctx.stroke();
  ctx.lineWidth = 2 * k;
  ctx.strokeStyle = red ? inks.red : inks.black;
  ctx.stroke();
  if (m.sign) tag(ctx, seen, at, m.sign, 5 * k, inks, boxes, seen.width >= narrow);
}
