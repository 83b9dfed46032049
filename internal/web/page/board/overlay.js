// The overlay is what stays crisp in every frame: the ring of the answer, the
// places touched already (small numbers) and the two places to touch next
// (large, a filled disc for the red lead, an open ring for the black one, so
// that they differ without colour).

/** @typedef {Record<"heat" | "red" | "black" | "paper" | "words", string> & { k: number }} OverlayInks */
/** @typedef {{ x: number, y: number, w: number, h: number }} Box */

// overlay draws over a view. Marks: { x, y, lead: "red"|"black", sign, text,
// large }; ring: { x, y, radius, text }; lengths are nanometres.
/**
 * @param {CanvasRenderingContext2D} ctx @param {Surface} view
 * @param {Pick<BoardState, "marks" | "ring">} state
 */
export function overlay(ctx, view, { marks, ring }) {
  const of = getComputedStyle(ctx.canvas);
  /** @param {string} name */
  const ink = (name) => of.getPropertyValue("--board-" + name).trim() || "#000";
  // On a large screen all is larger.
  const root = ctx.canvas.ownerDocument.documentElement;
  const k = Math.max(1, parseFloat(getComputedStyle(root).fontSize) / 18);
  const inks = { k, heat: ink("heat"), red: ink("red-lead"), black: ink("black-lead"), paper: ink("tag"),
    words: ink("words") };
  if (ring) drawRing(ctx, view, ring, inks);
  const boxes = marks.filter((m) => m.large).map((m) => { // no label over another place
    const [x, y] = view.screen(m.x, m.y), r = 13 * k;
    return { x: x - r, y: y - r, w: 2 * r, h: 2 * r };
  });
  for (const m of marks) if (!m.large) small(ctx, view, m, inks);
  for (const m of marks) if (m.large) large(ctx, view, m, inks, boxes);
}

/**
 * @param {CanvasRenderingContext2D} ctx @param {Surface} view
 * @param {Ring} ring @param {OverlayInks} inks
 */
function drawRing(ctx, view, ring, inks) {
  const [x, y] = view.screen(ring.x, ring.y);
  const r = Math.max(9 * inks.k, ring.radius * view.camera.scale);
  ctx.beginPath();
  ctx.arc(x, y, r, 0, 2 * Math.PI);
  ctx.lineWidth = 6 * inks.k;
  ctx.strokeStyle = inks.paper;
  ctx.stroke();
  ctx.lineWidth = 3 * inks.k;
  ctx.strokeStyle = inks.heat;
  ctx.stroke();
}

/** @param {CanvasRenderingContext2D} ctx @param {Surface} view @param {Mark} m @param {OverlayInks} inks */
function small(ctx, view, m, inks) {
  const [x, y] = view.screen(m.x, m.y), k = inks.k;
  ctx.beginPath();
  ctx.arc(x, y, 4 * k, 0, 2 * Math.PI);
  ctx.fillStyle = m.lead === "red" ? inks.red : inks.paper;
  ctx.fill();
  ctx.lineWidth = 2;
  ctx.strokeStyle = m.lead === "red" ? inks.paper : inks.black;
  ctx.stroke();
  if (!m.sign) return;
  ctx.font = `600 ${12 * k}px system-ui, sans-serif`;
  tag(ctx, x + 7 * k, y - 20 * k, m.sign, inks.paper, inks.words, 3 * k, 17 * k);
}

/**
 * @param {CanvasRenderingContext2D} ctx @param {Surface} view @param {Mark} m
 * @param {OverlayInks} inks @param {Box[]} boxes
 */
function large(ctx, view, m, inks, boxes) {
  const [x, y] = view.screen(m.x, m.y), red = m.lead === "red", k = inks.k, r = 13 * k;
  ctx.beginPath();
  ctx.arc(x, y, r + 3 * k, 0, 2 * Math.PI);
  ctx.fillStyle = inks.paper;
  ctx.fill();
  ctx.beginPath();
  ctx.arc(x, y, r, 0, 2 * Math.PI);
  if (red) {
    ctx.fillStyle = inks.red;
    ctx.fill();
  }
  ctx.lineWidth = 4 * k;
  ctx.strokeStyle = red ? inks.red : inks.black;
  ctx.stroke();
  ctx.beginPath();
  ctx.arc(x, y, 2.5 * k, 0, 2 * Math.PI);
  ctx.fillStyle = red ? inks.paper : inks.black;
  ctx.fill();
  if (!m.text) return;
  ctx.font = `700 ${18 * k}px system-ui, sans-serif`;
  const dpr = devicePixelRatio || 1,
    seen = { width: ctx.canvas.width / dpr, height: ctx.canvas.height / dpr };
  const at = free(seen, x, y, r, ctx.measureText(m.text).width + 20 * k, 34 * k, boxes);
  boxes.push(at);
  tag(ctx, at.x, at.y, m.text, inks.paper, red ? inks.red : inks.black, 10 * k, 34 * k);
}

// free finds room for a label of w × h beside a mark with radius r at x, y:
// right, left, above, below or aslant, the first that lies in the view and over
// no other label or mark. Where none does, it is the first.
/**
 * @param {{ width: number, height: number }} view in CSS pixels @param {number} x @param {number} y
 * @param {number} r @param {number} w @param {number} h @param {Box[]} boxes @returns {Box}
 */
export function free(view, x, y, r, w, h, boxes) {
  const gap = r + 6, right = x + gap, left = x - gap - w, above = y - gap - h, below = y + gap;
  const tries = [
    [right, y - h / 2], [left, y - h / 2], [x - w / 2, above], [x - w / 2, below],
    [right, above], [right, below], [left, above], [left, below],
  ].map(([a, b]) => ({ x: a, y: b, w, h }));
  return tries.find((t) => t.x >= 4 && t.y >= 4 && t.x + w <= view.width - 4 && t.y + h <= view.height - 4 &&
    boxes.every((o) => t.x + w < o.x || o.x + o.w < t.x || t.y + h < o.y || o.y + o.h < t.y)) || tries[0];
}

// tag writes text on a small plate with its corner at x, y.
/**
 * @param {CanvasRenderingContext2D} ctx @param {number} x @param {number} y @param {string} text
 * @param {string} plate @param {string} words @param {number} pad @param {number} height
 */
function tag(ctx, x, y, text, plate, words, pad, height) {
  const w = ctx.measureText(text).width + 2 * pad;
  ctx.beginPath();
  ctx.roundRect(x, y, w, height, 4);
  ctx.fillStyle = plate;
  ctx.fill();
  ctx.lineWidth = 1;
  ctx.strokeStyle = words;
  ctx.stroke();
  ctx.fillStyle = words;
  ctx.textAlign = "left";
  ctx.textBaseline = "middle";
  ctx.fillText(text, x + pad, y + height / 2 + 1);
}
