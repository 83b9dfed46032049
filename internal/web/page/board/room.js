// Room for labels: where a plate beside a place covers least of what must be
// seen. Everything is in CSS pixels of the view.

/** @typedef {{ x: number, y: number, w: number, h: number, cost?: number }} Box */
/** @typedef {{ width: number, height: number }} Size */

const outside = 1000; // what it costs to leave the view
const usual = 100; // and to cover something that says nothing else
const step = 8; // and to stand one reach farther off
const reaches = [6, 26, 54, 92, 140]; // how far from its place a plate may stand

/** @param {Box} a @param {Box} b */
const overlap = (a, b) => a.x + a.w >= b.x && b.x + b.w >= a.x && a.y + a.h >= b.y && b.y + b.h >= a.y;

// clear tells whether a box covers nothing.
/** @param {Box} box @param {Box[]} boxes */
export const clear = (box, boxes) => !boxes.some((b) => overlap(box, b));

/** @param {Size} view @param {[number, number]} at */
export const inView = (view, [x, y]) => x >= 0 && y >= 0 && x <= view.width && y <= view.height;

// room finds where a plate of w × h beside a mark with radius r at x, y covers
// least: right, left, above, below or aslant, near before far. Where all are
// alike it stands on the right.
/**
 * @param {Size} view @param {number} x @param {number} y
 * @param {number} r @param {number} w @param {number} h @param {Box[]} boxes @returns {Box}
 */
export function room(view, x, y, r, w, h, boxes) {
  let best = { x: x + r + reaches[0], y: y - h / 2, w, h }, least = Infinity;
  const far = r + reaches[reaches.length - 1];
  const around = { x: x - far - w, y: y - far - h, w: 2 * (far + w), h: 2 * (far + h) };
  const near = boxes.filter((b) => overlap(around, b));
  for (const [n, reach] of reaches.entries()) {
    if (step * n >= least) break; // farther off it costs more than what is found
    const gap = r + reach, right = x + gap, left = x - gap - w, above = y - gap - h, below = y + gap;
    const tries = [
      [right, y - h / 2], [left, y - h / 2], [x - w / 2, above], [x - w / 2, below],
      [right, above], [right, below], [left, above], [left, below],
    ];
    for (const [i, [a, b]] of tries.entries()) {
      const t = { x: a, y: b, w, h }, cost = step * n + i / step + covered(view, t, near);
      if (cost < least) [best, least] = [t, cost];
    }
  }
  return best;
}

/** @param {Size} view @param {Box} t @param {Box[]} boxes */
function covered(view, t, boxes) {
  const inside = t.x >= 4 && t.y >= 4 && t.x + t.w <= view.width - 4 && t.y + t.h <= view.height - 4;
  let cost = inside ? 0 : outside;
  for (const b of boxes) if (overlap(t, b)) cost += b.cost ?? usual;
  return cost;
}

// lineTo draws from the rim of a mark to the nearest point of a box.
/**
 * @param {CanvasRenderingContext2D} ctx @param {[number, number]} at @param {number} r @param {Box} box
 */
export function lineTo(ctx, [x, y], r, box) {
  const nx = Math.max(box.x, Math.min(box.x + box.w, x)), ny = Math.max(box.y, Math.min(box.y + box.h, y));
  const d = Math.hypot(nx - x, ny - y);
  if (d <= r) return;
  ctx.beginPath();
  ctx.moveTo(x + ((nx - x) * r) / d, y + ((ny - y) * r) / d);
  ctx.lineTo(nx, ny);
  ctx.stroke();
}
